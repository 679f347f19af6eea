"""Merging two entries of the address book that are one person."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.people.models import Person

PEOPLE_MERGING: Final = MergeRoom(
    space="people",
    word="person",
    words="people",
    rows=lambda: Person.objects.filter(erased_at=None),
    beside=lambda person: "",
    follows="Who is erased later is erased with whoever was merged into them.",
)


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose the other one, see what moves, do it."""
    gone = get_object_or_404(Person.everything.filter(erased_at=None), pk=pk)
    return merge_page(request, PEOPLE_MERGING, gone)


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged person is there again, with what moved."""
    return undo_page(request, PEOPLE_MERGING, pk)


@require_POST
@kept_once
def apart(request: HttpRequest, one: int, other: int) -> HttpResponse:
    """They look like one and are two."""
    return say_apart(request, PEOPLE_MERGING, one, other)
