"""What a check found, compared with the one before, and what is done about it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.viewer_dates import day_words
from catalogue.pages.shelves.moving import say_moved
from catalogue.specimens.models import CheckedPiece, ShelfCheck
from catalogue.specimens.services import shelf_checks
from catalogue.specimens.services.shelf_checks import CheckEnded, result_of

Seen = CheckedPiece.Seen


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
    }
    return render(request, "pages/shelves/check/result.html", context)


@require_POST
@kept_once
def act(request: HttpRequest, pk: int, check: int, row: int) -> HttpResponse:
    """Follow the result with one piece: move it to where it was seen, or take it off its place."""
    of = get_ended(pk, check)
    piece = get_object_or_404(of.pieces.select_related("find__place", "elsewhere"), pk=row)
    why = f"check of {day_words(of.ended_at)}" if of.ended_at else ""
    if piece.find.place_id != piece.recorded_id:
        now = piece.find.place or "no place"
        messages.error(request, f"Nothing was moved: {piece.find.number} was moved since, to {now}.")
    elif piece.seen == Seen.HERE and not piece.expected:
        say_moved(request, piece.find, of.place, f"stood there, {why}")
    elif piece.seen == Seen.ELSEWHERE and piece.elsewhere:
        say_moved(request, piece.find, piece.elsewhere, f"seen there, {why}")
    elif piece.seen in CheckedPiece.MISSING:
        say_moved(request, piece.find, None, f"not found, {why}")
    else:
        messages.success(request, f"{piece.find.number} stands where it should; nothing was moved.")
    return redirect(of)


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
