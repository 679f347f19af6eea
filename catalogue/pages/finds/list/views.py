"""The list of finds: rows, table or to scale, with its filters and the years of all they leave."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from catalogue.common.drawings.large_ruler import EDGE_PCT, brush_ruler
from catalogue.common.drawings.ruler import axis_alone
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.elevations import elevations_of
from catalogue.pages.parts.marked_words import fields_with_years, marked_reasons
from catalogue.pages.parts.paging import ORDERS, CountedPaginator, Order, in_order, page_of, read_order
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import axis_of_spreads, catalogue_axis, grounds_by_find
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.stored_answer import pieces_a_year

from .columns import Column, choices, read_columns, rows_of, with_columns
from .facet import Choice
from .facets import FACETS, SELDOM
from .filters import FindFilters, counts_beside, tidied, total
from .row_facets import RowFacet
from .saved_views import kept_part, views_beside
from .spans import SPANS, YEARS, NumberRange, RangeSlider, size_bounds, sliders

SHORT = 8
FINDS_PER_PAGE = 32
MOST_ON_PAPER = 1000  # finds on one page where a list is asked for whole, to print
VIEWS = ("rows", "table", "shelf")


@require_safe
def finds(request: HttpRequest) -> HttpResponse:
    """Rows, table or to scale; narrowed, searched, sorted and paged by what the address says."""
    if tidy := tidied(request.GET):
        for sentence in tidy.complaints:
            messages.warning(request, sentence)
        return redirect(f"{request.path}{tidy.query}")
    filters = FindFilters(request.GET, queryset=Specimen.objects.all())
    shown = filters.qs  # reading it checks the form
    order, turned, understood = read_order(request.GET.get("sort", ""))
    view = request.GET.get("view")
    rows = in_order(Specimen.objects.with_card_parts(), order, turned)
    columns: list[Column] = []
    complaints: list[str] = []
    if view == "table":
        columns, complaints = read_columns(request)
        rows = with_columns(rows, columns)
    units = filters.understood(filters.words).units if filters.words else ()
    if units:
        # a hit may be in the notes, so they are read here
        rows = rows.defer(None).select_related(*FIND.related)
    counts = counts_beside(filters)
    keys = in_order(shown, order, turned)
    whole = request.GET.get("all") == "1"
    per_page = MOST_ON_PAPER if whole else FINDS_PER_PAGE
    pages = CountedPaginator(rows, per_page, total(filters, counts), keys=keys)
    page, complaint = page_of(pages, request.GET.get("page", ""))
    found = FIND.read_on(page.object_list) if units else list(page.object_list)
    hits = {find.pk: marked_reasons(fields_with_years(find, units), units) for find in found} if units else {}
    complaints += filters.complaints() + ([complaint] if complaint else [])
    if not understood:
        complaints.append("There is no such order, so these stand by number.")
    for sentence in complaints:
        messages.warning(request, sentence)
    grounds = {} if view == "shelf" else grounds_by_find(found)
    axis = axis_beside(filters, counts)
    years = year_sum(counts["years"], filters.spans["years"], axis)
    cards = cards_of(found, hits=hits, grounds=grounds, axis=axis, labels=view == "table")
    context = {
        "page": page,
        "whole": whole,
        "cards": cards,
        # safe: years alone
        "axis": mark_safe(axis_alone(axis)) if any(card.ruler for card in cards) else "",
        "sum": years,
        **bar(request, filters, counts),
        "sorts": sorts(order, turned, columns),
        "order": order,
        "turned": turned,
        "view": view if view in VIEWS else "rows",
        "plate": elevations_of(found) if view == "shelf" else None,
        "columns": columns,
        "table": rows_of(cards, columns) if view == "table" else [],
        "column_choices": choices(request, columns) if view == "table" else [],
        "asked_columns": request.GET.getlist("col"),
        "kept_in_address": _kept(request),
        "choice": f"?{kept_part(request.GET.urlencode())}" if page.paginator.num_pages > 1 else "",
    }
    return render(request, "pages/finds/list/finds.html", context)


def bar(request: HttpRequest, filters: FindFilters, counts: dict[str, Counter[Any]]) -> dict[str, Any]:
    """What the bar shows of the filters: those always in sight, those behind one chip, what is chosen."""
    groups = panel(filters, counts)
    more = [group for group in groups if group.key in SELDOM]
    return {
        "filters": filters,
        "panel": [group for group in groups if group.key not in SELDOM],
        "more_panel": more,
        "more_chosen": sum(group.chosen for group in more),
        "sliders": sliders(filters.spans, size_bounds()),
        "chips": chips(request, filters),
        "all_years": without(request, "years"),
        "saved": views_beside(request),
    }


def axis_beside(filters: FindFilters, counts: Mapping[str, Counter[Any]]) -> YearAxis:
    """The catalogue's axis; with nothing chosen its years were counted already. One query or none."""
    return catalogue_axis() if filters.narrowed else axis_of_spreads(counts["years"])


def _kept(request: HttpRequest) -> list[tuple[str, str]]:
    """What the address says beside the columns, for the form that chooses these."""
    left_out = ("col", "view", "page", "tick", "all")
    return [
        (key, value)
        for key, values in request.GET.lists()
        if key not in left_out
        for value in values
        if value
    ]


@dataclass(frozen=True, slots=True)
class SortChoice:
    """One order, one way round, as the address and as the page say it."""

    value: str
    label: str
    chosen: bool


def sorts(order: Order, turned: bool, columns: list[Column]) -> list[SortChoice]:
    """Every order of the menu both ways round, and those by the columns that the table shows."""
    by_column = [read_order(column.order)[0] for column in columns if column.order]
    offered = list(dict.fromkeys([*ORDERS, *by_column, order]))
    usual = ORDERS[0].key  # left out of the address
    return [
        SortChoice(
            value="" if f"{sign}{each.key}" == usual else f"{sign}{each.key}",
            label=f"{each.label}, {words}".capitalize(),
            chosen=(each, bool(sign)) == (order, turned),
        )
        for each in offered
        for sign, words in (("", each.first), ("-", each.turned))
    ]


@dataclass(frozen=True, slots=True)
class FilterGroup:
    """One filter with its choices; `more` are folded away, `chosen` counts what is ticked.

    `unlisted`: how many rows besides are too many to list; each is typed as `one` is called.
    """

    key: str
    label: str
    choices: list[Choice]
    more: list[Choice]
    chosen: int
    unlisted: int = 0
    one: str = ""


@dataclass(frozen=True, slots=True)
class ChosenFilter:
    """Something chosen, and the address without it."""

    label: str
    value: str
    without: str


def panel(filters: FindFilters, counts: dict[str, Counter[Any]]) -> list[FilterGroup]:
    """Every filter that has something to choose, `counts` (of `counts_beside`) beside its choices."""
    groups = []
    for facet in FACETS:
        chosen = filters.chosen(facet)
        choices = facet.choices(counts[facet.key], chosen)
        if not choices:
            continue
        short = _most_numerous(choices)
        more = [choice for choice in choices if choice not in short]
        typed = facet if isinstance(facet, RowFacet) and facet.one else None
        unlisted = typed.unlisted(counts[facet.key]) if typed else 0
        one = typed.one if typed else ""
        groups.append(FilterGroup(facet.key, facet.label, short, more, len(chosen), unlisted, one))
    return groups


def _most_numerous(choices: list[Choice]) -> list[Choice]:
    """What stays in sight: everything chosen, and the choices with most finds, in their own order."""
    ranked = sorted(choices, key=lambda choice: (not choice.chosen, -choice.count))
    kept = max(SHORT, sum(choice.chosen for choice in choices))
    # one folded away alone would save no room
    kept = len(choices) if len(choices) == kept + 1 else kept
    return [choice for choice in choices if choice in ranked[:kept]]


def chips(request: HttpRequest, filters: FindFilters) -> list[ChosenFilter]:
    """One for each thing chosen, the search included."""
    found = []
    if filters.words:
        found.append(ChosenFilter("Search", filters.words, without(request, "q", filters.words)))
    for facet in FACETS:
        for written, label in filters.chosen(facet).values():
            found.append(ChosenFilter(facet.label, label, without(request, facet.key, written)))
    for kind in SPANS:
        if span := filters.spans[kind.key]:
            found.append(ChosenFilter(kind.label, kind.words(span), without(request, kind.key)))
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
    """The drawing, where its handles stand, and how many finds are in it and not in it."""

    drawing: SafeString
    slider: RangeSlider
    dated: int
    undated: int
    edge_pct: float = EDGE_PCT


def year_sum(counts: Mapping[str, int], span: NumberRange | None, axis: YearAxis) -> YearSum | None:
    """From how many finds have each spread (`counts_beside`); None where none has years. No query."""
    curve = pieces_a_year(counts)
    if not curve and not span:
        return None
    slider = RangeSlider(YEARS, axis.first, axis.last - 1, span)
    undated = counts.get("", 0)
    dated = sum(counts.values()) - undated
    # safe: the drawing escapes every word it holds
    drawing = mark_safe(
        brush_ruler(
            axis,
            curve,
            chosen=(int(slider.first), int(slider.last)) if span else None,
            words=_words(curve, dated),
        )
    )
    return YearSum(drawing, slider, dated, undated)


def _words(curve: list[tuple[int, float]], dated: int) -> str:
    if not curve:
        return "Year ruler: no find here has years yet"
    most = max(curve, key=lambda point: point[1])[0]
    return f"Year ruler: the years of {dated} find{'' if dated == 1 else 's'} added up, most in {most}"
