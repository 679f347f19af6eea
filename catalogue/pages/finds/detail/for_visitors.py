"""What a visitor may see of a find, and how it stands with their own request for it."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.common.drawings.year_axis import YearAxis
from catalogue.common.models import HouseSettings
from catalogue.giving.asking import why_not_asked
from catalogue.giving.told import hold_words_back
from catalogue.pages.giving.asking import own_requests
from catalogue.pages.parts.cards import outline_of
from catalogue.pages.parts.dated import stored
from catalogue.photos.queries import gallery_of
from catalogue.sites.queries import place_for_visitors
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis

from .first_screen import doubt_of
from .marks import read_marks


def show_to_visitor(request: HttpRequest, find: Specimen) -> HttpResponse:
    """The reduced page of a find that visitors may see."""
    # Before words are held back: what a visitor asks for is asked of the piece as it is on record.
    may_ask = find.standing == Specimen.Standing.FREE and not why_not_asked(find)
    own = own_requests(request, find)
    context = visitors_page(find) | {"may_ask": may_ask, "own_requests": own}
    response = render(request, "pages/finds/detail/for_visitors.html", context)
    if own:
        response.headers["Cache-Control"] = "private, no-store"
    return response


def visitors_page(find: Specimen, *, axis: YearAxis | None = None) -> dict[str, Any]:
    """What somebody else sees: nothing of where it stands, who had it in hand, or how it was worked on.

    `axis`: visitors' axis of years, where it is known already. Town and site are told apart on purpose: the
    distance between them would give a hidden place away.
    """
    gallery = gallery_of(find, visitor=True)
    hold_words_back([find], gallery.photos)
    dated = stored(find, axis or catalogue_axis(visitor=True))
    return {
        "find": find,
        "house": HouseSettings.current(),
        "dated": dated,
        "doubt": doubt_of(find, dated),
        "marks": read_marks(find),
        "gallery": gallery,
        "outline": outline_of(find) if not gallery.cover else "",
        "lay": place_for_visitors(find.where_found),
    }
