"""Merging a bottler with another."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.specimens.models import Bottler

BOTTLER_MERGING: Final = MergeRoom(
    space="bottlers",
    word="bottler",
    words="bottlers",
    rows=lambda: Bottler.objects.select_related("town"),
    beside=lambda bottler: str(bottler.town) if bottler.town else "",
    follows="Products that both have by one name become one. The pieces are dated by the years in business "
    "of the one kept.",
)


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the other one, see what moves, do it."""
    return merge_page(request, BOTTLER_MERGING, get_object_or_404(Bottler.everything, slug=slug))


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged bottler is there again, with what moved."""
    return undo_page(request, BOTTLER_MERGING, pk)


@require_POST
@kept_once
def apart(request: HttpRequest, one: int, other: int) -> HttpResponse:
    """They look like one and are two."""
    return say_apart(request, BOTTLER_MERGING, one, other)
