"""The list of finds."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.paging import ORDERS, CountedPaginator, in_order, page_of, read_order
from catalogue.pages.parts.side_by_side import standing_of
from catalogue.specimens.models import Specimen

from .columns import Column, choices, read_columns, rows_of, with_columns
from .filters import FindFilters, size_bounds, sliders
from .panel import chips, counts_beside, panel, total, without, year_sum
from .saved_views import views_beside
from .search import PREFETCHED, reasons, search_words

PER_PAGE = 48
VIEWS = ("gallery", "table", "shelf")


@require_safe
def finds(request: HttpRequest) -> HttpResponse:
    """Gallery or table, narrowed, searched, sorted and paged by what the address says."""
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
    words = search_words(filters.words) if filters.words else []
    if words:
        # a hit may be in the notes, so they are read here
        rows = rows.defer(None).defer("search_text").select_related("bottler", "product")
        rows = rows.prefetch_related(*PREFETCHED)
    counts = counts_beside(filters)
    keys = in_order(shown, order, turned)
    pages = CountedPaginator(rows, PER_PAGE, total(filters, counts), keys=keys)
    page, complaint = page_of(pages, request.GET.get("page", ""))
    found = list(page.object_list)
    hits = {find.pk: reasons(find, words) for find in found} if words else {}
    complaints += filters.complaints() + ([complaint] if complaint else [])
    if not understood:
        complaints.append("That order is not known here, so these stand by number.")
    for sentence in complaints:
        messages.warning(request, sentence)
    years = year_sum(counts["years"], filters.spans["years"])
    cards = cards_of(found, hits=hits, scale=years and years.scale)
    context = {
        "page": page,
        "cards": cards,
        "sum": years,
        "all_years": without(request, "years"),
        "sliders": sliders(filters.spans, size_bounds()),
        "filters": filters,
        "panel": panel(filters, counts),
        "chips": chips(request, filters),
        "orders": ORDERS,
        "order": order,
        "turned": turned,
        "view": view if view in VIEWS else "gallery",
        "standing": standing_of(found) if view == "shelf" else [],
        "columns": columns,
        "table": rows_of(cards, columns) if view == "table" else [],
        "column_choices": choices(request, columns) if view == "table" else [],
        "asked_columns": request.GET.getlist("col"),
        "kept_in_address": _kept(request),
        "saved": views_beside(request),
        "all_ticked": request.GET.get("tick") == "all",
    }
    return render(request, "pages/finds/list/finds.html", context)


def _kept(request: HttpRequest) -> list[tuple[str, str]]:
    """What the address says beside the columns, for the form that chooses these."""
    left_out = ("col", "view", "page", "tick")
    return [
        (key, value)
        for key, values in request.GET.lists()
        if key not in left_out
        for value in values
        if value
    ]
