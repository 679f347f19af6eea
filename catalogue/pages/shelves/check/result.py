"""What a check found, compared with the one before, and what is done about it."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.localisation import day_words
from catalogue.pages.parts.undo import say_with_undo
from catalogue.pages.shelves.moving import say_moved
from catalogue.shelves.models import Place
from catalogue.specimens.batch.links import MovePieces
from catalogue.specimens.batch.perform import NotAllOfThem, perform
from catalogue.specimens.models import BatchAct, CheckedPiece, ShelfCheck
from catalogue.specimens.services import shelf_checks
from catalogue.specimens.services.shelf_checks import CheckEnded, result_of

Seen = CheckedPiece.Seen
NONE_TO_MOVE = "Nothing was moved: none is recorded where it was then, or the place is in the bin."


@dataclass(frozen=True, slots=True)
class MoveAll:
    """Several pieces of a result that may be moved to one place."""

    to: Place
    count: int


def get_ended(place: int, pk: int) -> ShelfCheck:
    """A check that was ended. Raises Http404."""
    checks = ShelfCheck.objects.select_related("place")
    return get_object_or_404(checks, pk=pk, place=place, ended_at__isnull=False)


@require_safe
def result(request: HttpRequest, pk: int, check: int) -> HttpResponse:
    """Missing, elsewhere, not recorded here; missing then and now, found again, moved since."""
    found = result_of(get_ended(pk, check))
    latest = ShelfCheck.objects.filter(place=pk, ended_at__isnull=False).order_by("-pk").first()
    context = {
        "result": found,
        "check": found.check,
        "place": found.check.place,
        "latest": latest == found.check,
        "stray_moves": moves_of(found.strays),
        "elsewhere_moves": moves_of(found.elsewhere),
    }
    return render(request, "pages/shelves/check/result.html", context)


@require_POST
@kept_once
def act(request: HttpRequest, pk: int, check: int, row: int) -> HttpResponse:
    """Follow the result with one piece: move it to where it was seen, or take it off its place."""
    of = get_ended(pk, check)
    piece = get_object_or_404(of.pieces.select_related("find__place", "elsewhere", "check_of__place"), pk=row)
    if piece.find.place_id != piece.recorded_id:
        now = piece.find.place or "no place"
        messages.error(request, f"Nothing was moved: {piece.find.number} was moved since, to {now}.")
    elif piece.seen_in:
        say_moved(request, piece.find, piece.seen_in, _why(piece, of))
    elif piece.seen == Seen.ELSEWHERE or not piece.expected:
        messages.error(request, "Nothing was moved: the place where it was seen is in the bin.")
    elif piece.seen in CheckedPiece.MISSING:
        say_moved(request, piece.find, None, _why(piece, of))
    else:
        messages.success(request, f"{piece.find.number} stands where it should; nothing was moved.")
    return redirect(of)


@require_POST
@kept_once
def move_all(request: HttpRequest, pk: int, check: int, to: int) -> HttpResponse:
    """Move every piece that was seen in one place and was not moved since, as one step with Undo."""
    of = get_ended(pk, check)
    found = result_of(of)
    rows = [row for row in (*found.strays, *found.elsewhere) if row.seen_in and row.seen_in.pk == to]
    open_rows = [row for row in rows if _place_to_move_to(row)]
    if not open_rows:
        messages.error(request, NONE_TO_MOVE)
        return redirect(of)
    place = open_rows[0].seen_in
    batch = BatchAct.objects.create(finds=[row.find_id for row in open_rows], back=of.get_absolute_url())
    try:
        done = perform(batch, MovePieces(place, _why(open_rows[0], of)))
    except NotAllOfThem:
        # the page of many says which may not, and why
        return redirect(f"{reverse('finds:many_act', args=[batch.pk])}?act=move&place={to}&look=1")
    left = len(rows) - len(open_rows)
    stay = "1 was moved since and stays." if left == 1 else f"{left} were moved since and stay."
    words = f"{done.words} {stay}" if left else done.words
    say_with_undo(request, words, reverse("finds:many_undo", args=[batch.pk]))
    return redirect(of)


def _why(piece: CheckedPiece, of: ShelfCheck) -> str:
    """What the history of a piece says of the move."""
    seen = {Seen.HERE: "stood there", Seen.ELSEWHERE: "seen there"}.get(Seen(piece.seen), "not found")
    return f"{seen}, check of {day_words(of.ended_at)}" if of.ended_at else seen


def moves_of(rows: Iterable[CheckedPiece]) -> list[MoveAll]:
    """The places to which more than one of these may still be moved, and how many."""
    counts: dict[Place, int] = {}
    for row in rows:
        if to := _place_to_move_to(row):
            counts[to] = counts.get(to, 0) + 1
    return [MoveAll(place, count) for place, count in counts.items() if count > 1]


def _place_to_move_to(row: CheckedPiece) -> Place | None:
    """Where a piece was seen that stands elsewhere by the record, and was not moved since."""
    to = row.seen_in
    return to if to and row.find.place_id == row.recorded_id != to.pk else None


@require_POST
@kept_once
def go_on(request: HttpRequest, pk: int, check: int) -> HttpResponse:
    """Undo the end of a check: it goes on with all that was ticked."""
    of = get_ended(pk, check)
    try:
        shelf_checks.go_on(of)
    except CheckEnded as why:
        messages.error(request, str(why))
        return redirect(of)
    messages.success(request, "Undone: the check goes on.")
    return redirect("shelves:check", pk)
