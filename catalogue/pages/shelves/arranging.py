"""Orders of one's own: of places among their neighbours, and of the pieces in a place."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.limits import key_typed
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.shelves.models import Place
from catalogue.shelves.services import OrderedMeanwhile, change_places
from catalogue.specimens.models import Specimen
from catalogue.specimens.services.acts import ChangedSince
from catalogue.specimens.services.shelf_order import order_version, pieces_in_order, stand_before

PIECES_ON_A_PAGE = 60
LAST = 0  # in an address: before no other piece


@require_POST
@kept_once
def step(request: HttpRequest, pk: int, beside: int) -> HttpResponse:
    """A place changes places with its neighbour `beside`; the same once more undoes it."""
    place, other = (get_object_or_404(Place, pk=key) for key in (pk, beside))
    with saying_why_not(request, OrderedMeanwhile):
        change_places(place, other)
        words = f"{place.name} and {other.name} changed places."
        say_with_undo(request, words, reverse("shelves:step", args=[pk, beside]))
    back = next_address(request, f"{reverse('shelves:shelves')}?arrange=1")
    return redirect(f"{back.partition('#')[0]}#place-{pk}")


@require_POST
@kept_once
def stand(request: HttpRequest, pk: int) -> HttpResponse:
    """Put one piece before another, in the order that was shown: "12-7", their keys, 0 for the last place.

    `left` and `right` are buttons, of which the same one is at hand again; `stand` is what was dragged.
    """
    place = get_object_or_404(Place, pk=pk)
    way = next((name for name in ("stand", "left", "right") if request.POST.get(name)), "stand")
    find, _, before = request.POST.get(way, "").partition("-")
    page = reverse("shelves:place", args=[pk]) + "?arrange_pieces=1"
    moved, follower = key_typed(find), key_typed(before)
    if moved is None or follower is None:
        messages.error(request, "Nothing was moved: choose a piece and where it is to stand.")
        return redirect(page)
    at = _stand(request, place, moved, follower, request.POST.get("version", ""))
    if at is None:
        return redirect(page)
    # A named part would take the focus from the button that is at hand again.
    part = f"#piece-{find}" if way == "stand" else ""
    return redirect(f"{page}&page={at // PIECES_ON_A_PAGE + 1}&at={find}&way={way}{part}")


@require_POST
@kept_once
def stand_again(request: HttpRequest, pk: int, find: int, before: int, version: str) -> HttpResponse:
    """Undo: the piece stands again where it stood, as long as nothing else was put in order since."""
    place = get_object_or_404(Place, pk=pk)
    _stand(request, place, find, before, version)
    return redirect(next_address(request, reverse("shelves:place", args=[pk])))


def _stand(request: HttpRequest, place: Place, find: int, before: int, version: str) -> int | None:
    """Do it and say so, with Undo. At which place it stands then, None where nothing was moved."""
    try:
        stood = stand_before(place, find, before or None, version)
    except ChangedSince as why:
        messages.error(request, str(why))
        return None
    keys = pieces_in_order(place)
    at = keys.index(find)
    words = f"{Specimen.objects.get(pk=find).number} stands {at + 1} of {len(keys)} now."
    if stood == (before or None):
        messages.success(request, words)
    else:
        undo = [place.pk, find, stood or LAST, order_version(keys)]
        say_with_undo(request, words, reverse("shelves:stand_again", args=undo))
    return at
