"""Faceted search as the page shows it: facet counts, the filter panel, chips, the year ruler."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import islice

from django.db.models import QuerySet
from django.http import HttpRequest, QueryDict
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.scale import YearScale, brush_ruler
from catalogue.pages.parts.cards import scale_of_spreads
from catalogue.specimens.models import Specimen
from catalogue.specimens.spread import pieces_a_year

from .facets import FACETS, SPREAD, Choice, Facet
from .filters import SPANS, YEARS, FindFilters, Slider, Span

AT_ONCE = 2000  # finds counted together


def counts_beside(filters: FindFilters) -> dict[str, Counter]:
    """Facet key -> how many finds have each stored value, under everything else that is chosen.

    Under "years": how many have each text of how they spread over the years, whatever years are chosen.
    Nothing chosen: one GROUP BY a facet on its own column. Otherwise one pass over the finds that are
    shown, counted here, and a GROUP BY for each facet with a choice: its own choice must not empty its
    other counts.
    """
    columns = (*FACETS, SPREAD)
    if not filters.narrowed:
        return {facet.key: facet.counted(filters.queryset.all()) for facet in columns}
    apart = [*filters.active, *([SPREAD] if filters.spans["years"] else [])]
    counts = {facet.key: facet.counted(filters.apart_from(facet)) for facet in apart}
    return counts | _one_pass(filters.qs, [facet for facet in columns if facet not in apart])


def total(filters: FindFilters, counts: dict[str, Counter]) -> int:
    """How many finds are shown: every find counts once in a facet nothing is chosen of."""
    for facet in FACETS:
        if facet not in filters.active:
            return sum(counts[facet.key].values())
    return filters.qs.count()


def _one_pass(finds: QuerySet[Specimen], facets: list[Facet]) -> dict[str, Counter]:
    # As they lie in the store: an index that tells which are not in the bin would have them read in its
    # own order, here and there, three times slower.
    finds = finds.order_by("pk")
    for facet in facets:
        finds = facet.annotated(finds)
    counts: dict[str, Counter] = {facet.key: Counter() for facet in facets}
    rows = finds.values_list(*(facet.column for facet in facets)).iterator(chunk_size=AT_ONCE)
    # a part at a time: held together, a hundred thousand rows keep the memory manager busy
    while part := list(islice(rows, AT_ONCE)):
        for facet, column in zip(facets, zip(*part, strict=True), strict=True):
            counts[facet.key].update(column)
    return counts


SHORT = 8


@dataclass(frozen=True, slots=True)
class Group:
    """One filter with its choices; `more` are folded away."""

    key: str
    label: str
    choices: list[Choice]
    more: list[Choice]
    open: bool


@dataclass(frozen=True, slots=True)
class Chip:
    """Something chosen, and the address without it."""

    label: str
    value: str
    without: str


def panel(filters: FindFilters, counts: dict[str, Counter]) -> list[Group]:
    """Every filter that has something to choose, `counts` (of `counts_beside`) beside its choices."""
    groups = []
    for facet in FACETS:
        chosen = filters.chosen(facet)
        choices = facet.choices(counts[facet.key], chosen)
        if not choices:
            continue
        short = _most_numerous(choices)
        more = [choice for choice in choices if choice not in short]
        groups.append(Group(facet.key, facet.label, short, more, bool(chosen)))
    return groups


def _most_numerous(choices: list[Choice]) -> list[Choice]:
    """What stays in sight: everything chosen, and the choices with most finds, in their own order."""
    ranked = sorted(choices, key=lambda choice: (not choice.chosen, -choice.count))
    kept = max(SHORT, sum(choice.chosen for choice in choices))
    # one folded away alone would save no room
    kept = len(choices) if len(choices) == kept + 1 else kept
    return [choice for choice in choices if choice in ranked[:kept]]


def chips(request: HttpRequest, filters: FindFilters) -> list[Chip]:
    """One for each thing chosen, the search included."""
    found = []
    if filters.words:
        found.append(Chip("Search", filters.words, without(request, "q", filters.words)))
    for facet in FACETS:
        for written, label in filters.chosen(facet).values():
            found.append(Chip(facet.label, label, without(request, facet.key, written)))
    for kind in SPANS:
        if span := filters.spans[kind.key]:
            found.append(Chip(kind.label, kind.words(span), without(request, kind.key)))
    return found


def without(request: HttpRequest, key: str, value: str = "") -> str:
    """The address without one choice of a filter, or without all that a filter has."""
    query: QueryDict = request.GET.copy()
    query.pop("page", None)
    if not value or key == "q":
        for each in (key, f"{key}_from", f"{key}_to"):
            query.pop(each, None)
    else:
        query.setlist(key, [word for word in query.getlist(key) if word != value])
    return f"?{query.urlencode()}" if query else "?"


@dataclass(frozen=True, slots=True)
class YearSum:
    """The drawing, its scale, where its handles stand, and how many finds are in it and not in it."""

    drawing: SafeString
    scale: YearScale
    slider: Slider
    dated: int
    undated: int


def year_sum(counts: Mapping[str, int], span: Span | None) -> YearSum | None:
    """From how many finds have each spread (`counts_beside`); None where none has years. No query."""
    curve = pieces_a_year(counts)
    if not curve and not span:
        return None
    chosen = [year for year in (span.first, span.last) if year is not None] if span else []
    scale = scale_of_spreads(counts, curve, also=chosen)
    slider = Slider(YEARS, scale.first, scale.last - 1, span)
    undated = counts.get("", 0)
    dated = sum(counts.values()) - undated
    # safe: the drawing escapes every word it holds
    drawing = mark_safe(
        brush_ruler(
            scale, curve, chosen=(slider.first, slider.last) if span else None, words=_words(curve, dated)
        )
    )
    return YearSum(drawing, scale, slider, dated, undated)


def _words(curve: list[tuple[int, float]], dated: int) -> str:
    if not curve:
        return "Year ruler: no find here has years yet"
    most = max(curve, key=lambda point: point[1])[0]
    return f"Year ruler: the years of {dated} find{'' if dated == 1 else 's'} added up, most in {most}"
