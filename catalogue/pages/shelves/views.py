"""Shelves: the tree of places, the pieces without one, one place, and its form."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.limits import NAME_LENGTH, key_typed, too_many_letters
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.elevations import elevations_of
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_saved
from catalogue.photos.queries import gallery_of
from catalogue.shelves.forms import PlaceForm
from catalogue.shelves.models import Place, Upkeep
from catalogue.shelves.services import keep_place
from catalogue.shelves.tree import PlaceTree, place_tree
from catalogue.shelves.upkeep import last_done, upkeep_state
from catalogue.specimens import clock
from catalogue.specimens.models import Move, ShelfCheck, Specimen
from catalogue.specimens.named_finds import finds_named
from catalogue.specimens.queries import pieces_by_place, unplaced
from catalogue.specimens.services import move_to

from .due import due_upkeep
from .moving import say_moved
from .pieces import pieces_here
from .tree_rows import MOST_ROWS_OPEN, in_rooms, place_rows

HOMELESS_SHOWN = 12
CHECKS_SHOWN, UPKEEP_SHOWN = 3, 12


@require_safe
def shelves(request: HttpRequest) -> HttpResponse:
    """Pieces that have no place, what is due, and every place with the number of pieces in it."""
    tree, counts = place_tree(), pieces_by_place()
    rows = place_rows(tree, counts)
    homeless = unplaced()
    shown = list(homeless.with_card_parts()[:HOMELESS_SHOWN])
    arranging = "arrange" in request.GET
    context = {
        "rows": rows,
        "arranging": arranging,
        "folded": in_rooms(rows) if len(rows) > MOST_ROWS_OPEN and not arranging else [],
        "homeless": cards_of(shown),
        "count": homeless.count() if len(shown) == HOMELESS_SHOWN else len(shown),
        "usual": _last_used(tree) if shown else None,
        "due": due_upkeep(tree, counts, clock.today()),
    }
    return render(request, "pages/shelves/shelves.html", context)


def _last_used(tree: PlaceTree) -> int | None:
    """The place where a piece was put last: the next one mostly goes there too."""
    last = Move.objects.exclude(to_place=None).order_by("-pk").values_list("to_place", flat=True).first()
    return last if last in tree.place else next(iter(tree.place), None)


@require_safe
def place(request: HttpRequest, pk: int) -> HttpResponse:
    """What stands in one place, and what is inside it."""
    return _page_of(request, get_object_or_404(Place, pk=pk))


def _page_of(request: HttpRequest, found: Place, *, wrong: str = "") -> HttpResponse:
    """`wrong` says why the pieces that were named are not put here; what was typed stays in the form."""
    here = pieces_here(found, request.GET.get("page", ""))
    tree, counts = place_tree(), pieces_by_place()
    done = last_done()
    plate = elevations_of(here.finds)
    context = {
        "place": found,
        "above": tree.place.get(found.parent_id) if found.parent_id else None,
        "row": next(row for row in place_rows(tree, counts) if row.place.pk == found.pk),
        "parts": place_rows(tree, counts, found.pk),
        "page": here.page,
        "page_said": here.said,
        "here": here,
        "arranging": "arrange_pieces" in request.GET,
        "after": here.after,
        "standing": here.standing(plate, request.GET.get("at", ""), request.GET.get("way", "")),
        "cards": cards_of(here.finds),
        "plate": plate,
        "gallery": gallery_of(found),
        "upkeep": [upkeep_state(tree, found, what, done) for what in Upkeep.What],
        "today": clock.today(),
        "was_done": list(found.upkeep.all()[:UPKEEP_SHOWN]),
        "checks": list(ShelfCheck.objects.filter(place=found)[:CHECKS_SHOWN]),
        "wrong_numbers": [wrong] if wrong else [],
        "typed": {name: request.POST.get(name, "") for name in ("numbers", "why")},
    }
    return render(request, "pages/shelves/place.html", context, status=422 if wrong else 200)


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
    why = request.POST.get("why", "").strip()
    wrong = " ".join(named.complaints()) or ("" if named.keys else "No number is given.")
    if not wrong and len(why) > NAME_LENGTH:
        wrong = f"Why: {too_many_letters(len(why), NAME_LENGTH)}."
    if wrong:
        return _page_of(request, found, wrong=f"Nothing was moved. {wrong}")
    finds = list(Specimen.objects.filter(pk__in=named.keys.values()))
    for find in finds:
        move_to(find, found, why)
    messages.success(request, f"{len(finds)} now in {found}.")
    return redirect("shelves:place", found.pk)


@require_POST
@kept_once
def put_one(request: HttpRequest) -> HttpResponse:
    """Put one piece in the place that is chosen beside it, by one touch."""
    find = Specimen.objects.filter(number=request.POST.get("find", "")).first()
    chosen = Place.objects.filter(pk=key_typed(request.POST.get("place", "")) or 0).first()
    back = redirect(next_address(request, reverse("shelves:shelves")))
    if find is None or chosen is None:
        messages.error(request, "Nothing was moved: choose a piece and a place that are still there.")
        return back
    say_moved(request, find, chosen)
    return back
