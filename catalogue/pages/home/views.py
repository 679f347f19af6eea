"""The collection, what to do today, and how to begin."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.pages.parts.cards import cards_of, ruler_of
from catalogue.pages.parts.elevations import empty_plate
from catalogue.specimens import clock
from catalogue.specimens.models import Specimen

from .collection import collection
from .to_do import to_do

# Lines of what to do that are seen at once; the rest stands behind one more touch.
FIRST_LINES = 3
LATELY = 4


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """The owner's first page."""
    pieces = collection()
    if not pieces.pieces:
        return begin(request)
    named = pieces.named_on(timezone.localdate())
    lines = to_do(undated=pieces.waiting)
    return render(
        request,
        "pages/home/home.html",
        {
            "clock": clock.sentence(),
            "collection": pieces,
            "named": named,
            "named_ruler": ruler_of(named.find, pieces.axis) if named else "",
            "to_do": lines[:FIRST_LINES],
            "to_do_more": lines[FIRST_LINES:],
            "lately": cards_of(Specimen.objects.with_card_parts().in_order()[:LATELY], axis=pieces.axis),
        },
    )


def begin(request: HttpRequest) -> HttpResponse:
    """The first page of an empty catalogue: how to record a find, and how a phone gets in."""
    shown = {
        "plate": empty_plate(),
        "lan": settings.LAN,
        "addresses": settings.LAN_ADDRESSES,
        "port": settings.PORT,
    }
    return render(request, "pages/home/begin.html", shown)
