"""The check while one walks round: begun, each piece ticked at once, ended on purpose."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.functional import SimpleLazyObject
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.text import isolated
from catalogue.labels.scanned import place_key_of
from catalogue.pages.finds.bulk.many import Places
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.paging import page_of
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.shelves.tree import PlaceTree, place_tree
from catalogue.specimens.models import CheckedPiece, ShelfCheck, Specimen
from catalogue.specimens.named_finds import finds_named
from catalogue.specimens.services import shelf_checks
from catalogue.specimens.services.shelf_checks import CheckEnded
from catalogue.specimens.services.shelf_order import in_shelf_order

ROWS_ON_A_PAGE = 60
Seen = CheckedPiece.Seen


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One piece of a check: what was said of it, None where nothing; `wrong`: why that was not kept."""

    find: Specimen
    cover: Photo | None
    said: CheckedPiece | None
    wrong: str = ""
    typed: str = ""


def get_open(pk: int) -> ShelfCheck:
    """The check of a place that goes on. Raises Http404."""
    check = shelf_checks.open_check(get_object_or_404(Place, pk=pk))
    if check is None:
        raise Http404("No check of this place goes on: start one on its page.")
    return check


@require_safe
def walk(request: HttpRequest, pk: int) -> HttpResponse:
    """Each piece that should stand there; where no check goes on, how to start one."""
    place = get_object_or_404(Place, pk=pk)
    check = shelf_checks.open_check(place)
    last = ShelfCheck.objects.filter(place=place, ended_at__isnull=False).first()
    if check is None:
        page = {"place": place, "last": last, "parts": place.parts.filter(binned_at=None).exists()}
        return render(request, "pages/shelves/check/start.html", page)
    return _page(request, check)


def _page(request: HttpRequest, check: ShelfCheck, *, wrong: str = "") -> HttpResponse:
    """`wrong`: why the typed numbers were not followed."""
    tree = place_tree()
    state = whole_state(check, tree)
    keys = in_shelf_order(state["expected"], state["places"])
    said = set(check.pieces.values_list("find", flat=True))
    left = [key for key in keys if key not in said]
    only_left = "left" in request.GET
    page, page_said = page_of(
        Paginator(left if only_left else keys, ROWS_ON_A_PAGE), request.GET.get("page", "")
    )
    context = {
        **state,
        "count": len(keys),
        "left": len(left),
        "rows": rows_of(check, list(page.object_list)),
        "page": page,
        "page_said": page_said,
        "page_query": f"?{request.GET.urlencode()}" if request.GET else "",
        "only_left": only_left,
        "known": [place.path for place, _ in tree.rows()],
        "inside": [tree.place[key] for key in state["places"][1:]],
        "stand": request.POST.get("stand", ""),
        "wrong_numbers": [wrong] if wrong else [],
        "typed": request.POST.get("numbers", ""),
    }
    return render(request, "pages/shelves/check/walk.html", context, status=422 if wrong else 200)


def whole_state(check: ShelfCheck, tree: PlaceTree | None = None) -> dict[str, Any]:
    """How far a check has come: its places, what should stand there, how many are left, strays."""
    places = shelf_checks.places_of(check, tree or place_tree())
    expected = shelf_checks.expected_pieces(places)
    count = SimpleLazyObject(expected.count)
    left = SimpleLazyObject(expected.exclude(pk__in=check.pieces.values("find")).count)
    strays = check.pieces.filter(expected=False).select_related("find", "recorded", "elsewhere")
    return {
        "check": check,
        "place": check.place,
        "places": places,
        "expected": expected,
        "count": count,
        "left": left,
        "strays": strays,
    }


def rows_of(check: ShelfCheck, keys: list[int]) -> list[CheckRow]:
    """Pieces with what was said of them. Three queries."""
    finds = Specimen.objects.with_card_parts().in_bulk(keys)
    covers = Photo.objects.covers_of(keys)
    said = {row.find_id: row for row in check.pieces.filter(find__in=keys).select_related("elsewhere")}
    return [CheckRow(finds[key], covers.get(key), said.get(key)) for key in keys if key in finds]


def place_stood_at(check: ShelfCheck, tree: PlaceTree, key: str) -> Place | None:
    """The place inside, as it was chosen; None for anywhere in the place that is checked."""
    inside = shelf_checks.places_of(check, tree)[1:]
    return next((tree.place[each] for each in inside if str(each) == key), None)


@require_POST
@kept_once
def begin(request: HttpRequest, pk: int) -> HttpResponse:
    """Start a check; where one goes on, it goes on."""
    place = get_object_or_404(Place, pk=pk)
    shelf_checks.begin_check(place, with_inside="inside" in request.POST)
    return redirect("shelves:check", pk)


@require_POST
def tick(request: HtmxRequest, pk: int, number: str) -> HttpResponse:
    """Say of one piece that it is here, not here, elsewhere, or nothing again. It is kept at once."""
    place = get_object_or_404(Place, pk=pk)
    check = shelf_checks.open_check(place)
    find = get_object_or_404(Specimen.objects.with_card_parts(), number=number)
    typed = request.POST.get("where", "")
    wrong = "This check was ended meanwhile: nothing more is ticked in it."
    if check is not None:
        wrong = _ticked(check, find, request.POST.get("seen", ""), typed)
    said = CheckedPiece.objects.filter(check_of=check, find=find).select_related("elsewhere").first()
    if not request.htmx:
        if wrong:
            messages.error(request, f"{find.number}: {wrong}")
        return redirect(f"{_address(request, pk)}#piece-{find.pk}")
    row = CheckRow(find, Photo.objects.covers_of([find.pk]).get(find.pk), said, wrong, typed if wrong else "")
    context: dict[str, object] = {
        "place": place,
        "check": check,
        "row": row,
        "swapped": True,
        "at": request.POST.get("at", ""),
    }
    if check is not None:
        expected = shelf_checks.expected_pieces(shelf_checks.places_of(check, place_tree()))
        context["count"] = expected.count()
        context["left"] = expected.exclude(pk__in=check.pieces.values("find")).count()
    return render(request, "pages/shelves/check/row.html", context)


def _address(request: HttpRequest, pk: int) -> str:
    """The check's page as it was shown: which page of it, and whether only what is left."""
    asked = request.POST.get("at", "")
    return reverse("shelves:check", args=[pk]) + (asked if asked.startswith("?") else "")


def _ticked(check: ShelfCheck, find: Specimen, seen: str, where: str) -> str:
    """Keep what was said; the sentence why not."""
    places = shelf_checks.places_of(check, place_tree())
    elsewhere = None
    try:
        if not seen:
            shelf_checks.untick(check, find)
            return ""
        if seen not in (Seen.HERE, Seen.NOT_HERE, Seen.ELSEWHERE):
            return "Choose: here, not here, or elsewhere."
        if seen == Seen.ELSEWHERE:
            elsewhere = _place_named(where)
            if not check.with_inside and elsewhere == check.place:
                return "That is the place that is checked: choose Here."
        shelf_checks.tick(check, [find], seen, elsewhere=elsewhere, places=places)
    except ValidationError as why:
        return " ".join(why.messages)
    except CheckEnded as why:
        return str(why)
    return ""


def _place_named(typed: str) -> Place:
    """The place typed, chosen or scanned. Raises ValidationError."""
    if not typed.strip():
        raise ValidationError("Say where: choose a place from the list, or scan its label.")
    key = place_key_of(typed)
    scanned = Place.objects.filter(pk=key).first() if key else None
    return scanned or Places(Place.objects.order_by("path")).named(typed)


@require_POST
@kept_once
def numbers(request: HttpRequest, pk: int) -> HttpResponse:
    """Pieces whose numbers were typed or scanned stand here, whatever is on record; all or none."""
    check = get_open(pk)
    named = finds_named(request.POST.get("numbers", ""))
    if named.complaints() or not named.keys:
        said = " ".join(named.complaints()) or "No number is given."
        return _page(request, check, wrong=f"Nothing was ticked. {said}")
    finds = list(Specimen.objects.filter(pk__in=named.keys.values()))
    with saying_why_not(request, CheckEnded):
        tree = place_tree()
        places = shelf_checks.places_of(check, tree)
        stand_in = place_stood_at(check, tree, request.POST.get("stand", ""))
        shelf_checks.tick_here(check, finds, stand_in=stand_in, places=places)
        where = f"in {isolated(str(stand_in))}" if stand_in else "here"
        messages.success(request, f"{len(finds)} ticked as {where}.")
    return redirect("shelves:check", pk)


@require_POST
@kept_once
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """End the check, on purpose: what nobody said anything of is kept as not seen."""
    check = get_open(pk)
    ended = shelf_checks.end_check(check, shelf_checks.places_of(check, place_tree()))
    undo = reverse("shelves:check_go_on", args=[pk, check.pk])
    say_with_undo(request, f"The check of {check.place} is ended.", undo)
    return redirect(ended)
