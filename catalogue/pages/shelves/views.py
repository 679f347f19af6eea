"""Shelves: the tree of places, one place, and its form."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.elevations import elevations_of
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_saved
from catalogue.shelves.forms import PlaceForm
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.specimens.models import Specimen
from catalogue.specimens.named_finds import finds_named
from catalogue.specimens.services import move_to

MOST_ROWS_OPEN = 40  # places: more of them fold to their rooms
HOMELESS_SHOWN = 12


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A place with its pieces counted, and how deep in the tree it is."""

    place: Place
    deep: int


@dataclass(frozen=True, slots=True)
class Room:
    """A place that is in no other, and the rows of all places in it."""

    row: PlaceRow
    inside: list[PlaceRow]


@require_safe
def shelves(request: HttpRequest) -> HttpResponse:
    """Every place with the number of pieces in it, and the pieces that have no place."""
    places = Place.objects.annotate(pieces=Count("finds", filter=Q(finds__binned_at=None))).order_by("path")
    rows = [PlaceRow(place, place.path.count(", ")) for place in places]
    homeless = Specimen.objects.still_here().filter(place__isnull=True)
    context = {
        "rows": rows,
        "rooms": in_rooms(rows) if len(rows) > MOST_ROWS_OPEN else [],
        "homeless": cards_of(homeless.with_card_parts()[:HOMELESS_SHOWN]),
        "count": homeless.count(),
    }
    return render(request, "pages/shelves/shelves.html", context)


def in_rooms(rows: Iterable[PlaceRow]) -> list[Room]:
    """The tree, in the order of paths, as what stands outermost with all that is in it."""
    rooms: list[Room] = []
    for row in rows:
        if not row.deep or not rooms:
            rooms.append(Room(row, []))
        else:
            rooms[-1].inside.append(row)
    return rooms


@require_safe
def place(request: HttpRequest, pk: int) -> HttpResponse:
    """What stands in one place, and what is inside it."""
    return _page_of(request, get_object_or_404(Place.objects.select_related("parent"), pk=pk))


def _page_of(request: HttpRequest, found: Place, *, wrong: str = "") -> HttpResponse:
    """`wrong` says why the pieces that were named are not put here; what was typed stays in the form."""
    finds = list(Specimen.objects.on_shelf(found).with_card_parts().in_order())
    parts = found.parts.filter(binned_at=None).order_by("name")
    return render(
        request,
        "pages/shelves/place.html",
        {
            "place": found,
            "parts": parts,
            "cards": cards_of(finds),
            "plate": elevations_of(finds),
            "photos": found.photos.all(),
            "wrong_numbers": [wrong] if wrong else [],
            "typed": {name: request.POST.get(name, "") for name in ("numbers", "why")},
        },
        status=422 if wrong else 200,
    )


@GET_OR_POST
@kept_once
def place_form(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add a place, or change one."""
    known = record_to_edit(request, Place.everything.all(), pk=pk) if pk else None
    initial = {"parent": request.GET.get("inside")} if not known else None
    form = PlaceForm(request.POST or None, instance=known, initial=initial)
    if request.method == "POST" and form.is_valid():
        saved = keep_place(form.instance, form.changed_columns() if known else None)
        say_saved(request, saved, f"{saved.path} is saved.")
        return redirect("shelves:place", saved.pk)
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/shelves/place_form.html", {"form": form, "place": known}, status=status)


@require_POST
@kept_once
def put_here(request: HttpRequest, pk: int) -> HttpResponse:
    """Put finds, named by their numbers, in a place: all of them, or none where one is unknown."""
    found = get_object_or_404(Place, pk=pk)
    named = finds_named(request.POST.get("numbers", ""))
    if named.complaints() or not named.keys:
        said = " ".join(named.complaints()) or "No number is given."
        return _page_of(request, found, wrong=f"Nothing was moved. {said}")
    finds = list(Specimen.objects.filter(pk__in=named.keys.values()))
    for find in finds:
        move_to(find, found, request.POST.get("why", "")[:200])
    messages.success(request, f"{len(finds)} now in {found}.")
    return redirect("shelves:place", found.pk)
