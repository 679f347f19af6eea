"""Merging a maker of one's own with another, one's own or a published one."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.specimens.models import Maker

MAKER_MERGING: Final = MergeRoom(
    space="makers",
    word="maker",
    words="makers",
    rows=Maker.objects.all,
    beside=lambda maker: "",
    settled=lambda maker: not maker.is_own,
    settled_words="from the published tables",
    follows="Its marks and codes count on as marks of the other, with their own years and source; works that "
    "both have by one name become one. The pieces are dated anew.",
)


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the other one, see what moves, do it. Published makers are never merged away."""
    return merge_page(request, MAKER_MERGING, get_object_or_404(Maker.everything.own(), slug=slug))


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged maker is there again, with what moved."""
    return undo_page(request, MAKER_MERGING, pk)


@require_POST
@kept_once
def apart(request: HttpRequest, one: int, other: int) -> HttpResponse:
    """They look like one and are two."""
    return say_apart(request, MAKER_MERGING, one, other)
