"""The page on which a mark is read; marks are ranked while one types."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

import dating
from catalogue.pages.parts.choices import arrangements, frames, symbols
from catalogue.pages.parts.ranked_marks import Ranking, ranking
from catalogue.pages.parts.said_words import WHERE
from catalogue.specimens.tables import current_reference

from .besides import besides
from .understood import SIDES, Understood, understood

CARRIED = ("letters", "symbol", "frame", "arrangement", *SIDES)


@require_safe
def read_mark(request: HttpRequest) -> HttpResponse:
    """The page, or for a live change only its answer."""
    reference = current_reference()
    this_year = timezone.localdate().year
    read = understood(request.GET, reference, this_year)
    found, trouble = _found(read, reference, this_year)
    address = carried(read)
    context = {
        "read": read,
        "found": found,
        "trouble": trouble,
        "beside": [(WHERE[side], read.mark[side] or "nothing") for side in SIDES if side in read.mark],
        "carried": address,
        "says": besides(read.text or read.rest, address),
        "correct": read.parts.urlencode() + (f"&{urlencode({'rest': read.rest})}" if read.rest else ""),
    }
    if request.htmx:
        return render(request, "pages/makers/read/answer.html", context)
    context |= {
        "given": request.GET,
        "frames": frames(),
        "symbols": symbols(reference.symbols),
        "arrangements": arrangements(),
        "sides": [(side, WHERE[side], request.GET.get(side, "")) for side in SIDES],
    }
    return render(request, "pages/makers/read/read.html", context)


def carried(read: Understood) -> str:
    """The reading as an address for dating the bottle or recording it."""
    parts = [(key, read.parts[key]) for key in CARRIED if read.parts.get(key)]
    parts += [("none", side) for side in read.parts.getlist("none") if side in SIDES]
    years = read.years or (None, None)
    parts += [(key, str(year)) for key, year in zip(("after", "before"), years, strict=True) if year]
    if read.text or read.rest:
        parts.append(("inscription", read.text or read.rest))
    return urlencode(parts)


def _found(read: Understood, reference: dating.Reference, this_year: int) -> tuple[Ranking | None, str]:
    if not read.mark:
        return None, ""
    try:
        return ranking(read.mark, reference, read.years, this_year), ""
    except dating.CaseError as error:
        return None, f"This can't be read as a mark: {error.message}."
