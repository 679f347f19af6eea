"""Merging a town with another."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.specimens.models import Town

TOWN_MERGING: Final = MergeRoom(
    space="towns",
    word="town",
    words="towns",
    rows=Town.objects.all,
    beside=lambda town: town.region,
    settled=lambda town: town.latitude is not None,
    follows="Bottlers that both have by one name become one.",
)


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the other one, see what moves, do it."""
    return merge_page(request, TOWN_MERGING, get_object_or_404(Town.everything, slug=slug))


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged town is there again, with what moved."""
    return undo_page(request, TOWN_MERGING, pk)


@require_POST
@kept_once
def apart(request: HttpRequest, one: int, other: int) -> HttpResponse:
    """They look like one and are two."""
    return say_apart(request, TOWN_MERGING, one, other)
