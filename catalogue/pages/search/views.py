"""The page of the search, and the sheet that opens under the box while somebody types."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_safe

from catalogue.giving.told import hold_words_back
from catalogue.labels.scanned import place_key_of
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.shelves.models import Place
from catalogue.specimens.search.answers import Answer, search
from catalogue.specimens.search.kinds import KIND_OF

from .shown import REFERENCE, address, groups_of, others_meant, tried

IN_SHEET, ON_PAGE, OF_ONE_KIND = 4, 8, 100
# A visitor has no list of finds to go on to.
FOR_VISITORS = 60


@login_not_required
@require_safe
def search_page(request: HtmxRequest) -> HttpResponse:
    """Everything that holds what was typed, kind by kind; asked by the box, only the sheet under it.

    A whole catalogue number leads to its piece, the code of a place's label to that place. Visitors find what
    they may see, by what they read of it.
    """
    visitor = not request.user.is_authenticated
    only = request.GET.get("only", "")
    only = only if not visitor and (only in KIND_OF or only == REFERENCE) else ""
    most = IN_SHEET if request.htmx else FOR_VISITORS if visitor else OF_ONE_KIND if only else ON_PAGE
    answer = search(request.GET.get("q", ""), visitor=visitor, most=most, only=only)
    if visitor:
        hold_words_back([*filter(None, [answer.number]), *(row for f in answer.found for row in f.rows)])
    if answer.number and not request.htmx:
        return redirect(answer.number)
    if not (visitor or request.htmx) and (place := _place_scanned(request.GET.get("q", ""))):
        return redirect(place)
    template = "pages/search/sheet.html" if request.htmx else "pages/search/search.html"
    response = render(request, template, _shown(answer, most, only))
    patch_vary_headers(response, ("HX-Request",))
    return response


def _place_scanned(text: str) -> Place | None:
    """The place whose own label was scanned or copied into the box. No query for any other text."""
    key = place_key_of(text)
    return Place.objects.filter(pk=key).first() if key is not None else None


def _shown(answer: Answer, most: int, only: str) -> dict[str, object]:
    text = answer.understood.typed.text
    return {
        "text": text,
        "number": answer.number,
        "groups": groups_of(answer, most),
        "sentences": answer.understood.sentences,
        "others": others_meant(answer),
        "names": [(name, address(name)) for name in answer.names],
        "tried": "" if answer.anything else tried(answer),
        "whole": address(text) if text else "",
        "only": only,
    }
