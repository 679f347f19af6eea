"""A list of towns, bottlers or products by letter or by number of pieces, in pages, each with its years."""

from collections.abc import Callable, Iterable
from itertools import groupby
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest

from catalogue.common.text import folded
from catalogue.specimens.models import Specimen

from .paging import page_of
from .year_lines import year_lines

ROWS_PER_PAGE = 48
NO_PIECE = "none"  # in place of a letter: these stand after all that have pieces


def lettered(
    request: HttpRequest, rows: Iterable[Any], column: str, beside: Callable[[Any], str]
) -> dict[str, Any]:
    """What `parts/lettered.html` shows of rows that a find names in `column`; those with pieces first.

    `beside` tells a row from another of its name. Four queries besides the rows: how many pieces each has,
    the years of their pieces, the axis, how many finds name none.
    """
    counted = Specimen.objects.order_by().values_list(column).annotate(n=Count("pk"))
    pieces: dict[int | None, int] = dict(counted)
    listed = list(rows)
    for row in listed:
        row.pieces, row.beside = pieces.get(row.pk, 0), beside(row)
    by_count = request.GET.get("by") == "count"
    apart = any(row.pieces for row in listed)

    def letter(row: Any) -> str:
        if by_count:
            return ""
        return NO_PIECE if apart and not row.pieces else _letter(row.name)

    if by_count:
        listed.sort(key=lambda row: (-row.pieces, folded(row.name), row.beside))
    else:
        listed.sort(key=lambda row: (letter(row) == NO_PIECE, folded(row.name), row.beside))
    page, complaint = page_of(Paginator(listed, ROWS_PER_PAGE), request.GET.get("page", ""))
    if complaint:
        messages.warning(request, complaint)
    here = list(page.object_list)
    lines = year_lines(column, [row.pk for row in here if row.pieces])
    for row in here:
        row.line = lines.get(row.pk)
    letters: dict[str, int] = {}
    for n, row in enumerate(() if by_count else listed):
        letters.setdefault(letter(row), n // ROWS_PER_PAGE + 1)
    return {
        "page": page,
        "groups": [(name, list(part)) for name, part in groupby(here, key=letter)],
        "letters": letters,
        "by_count": by_count,
        "with_pieces": sum(bool(row.pieces) for row in listed),
        "pieces": sum(row.pieces for row in listed),
        "unplaced": pieces.get(None, 0),
        "lines": lines,
    }


def _letter(name: str) -> str:
    first = folded(name)[:1].upper()
    return first if first.isalpha() else "#"
