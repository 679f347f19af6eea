"""The list of makers, and a maker's page."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merged_into, merges_into
from catalogue.pages.makers.form.maker import NotesForm
from catalogue.pages.parts.look_alikes import alike_in
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.paging import page_of
from catalogue.pages.parts.series import series_of
from catalogue.pages.parts.table_marks import (
    basis_of,
    codes_shown,
    drawn,
    marks_shown,
    source_of,
    text_of,
    years_of,
)
from catalogue.pages.parts.wishes import wishes_here
from catalogue.pages.parts.with_pieces import with_pieces
from catalogue.specimens.models import Bottler, Maker, Product, Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.tables import current_reference

from .merging import MAKER_MERGING
from .neighbours import neighbours_of
from .queries import Nearness, makers_in_order, makers_matching, marks_by_maker
from .year_grid import year_grid, years_allowed

MAKERS_PER_PAGE = 40
MARKS_ON_A_ROW = 12


@require_safe
def makers(request: HttpRequest) -> HttpResponse:
    """One's own makers and those one has pieces of, or all; looked up by name, place or mark among all."""
    ref = current_reference()
    words = request.GET.get("q", "").strip()[:200]
    every = makers_in_order()
    mine = [maker for maker in every if maker.nearness != Nearness.PUBLISHED]
    narrow = bool(mine) and not words and request.GET.get("all") != "1"
    listed = makers_matching(every, words, ref) if words else mine if narrow else every
    page, complaint = page_of(Paginator(listed, MAKERS_PER_PAGE), request.GET.get("page", ""))
    if complaint:
        messages.warning(request, complaint)
    marks = marks_by_maker(list(page.object_list), ref)
    shown = [
        {
            "maker": maker,
            "drawing": drawn(marks[maker.pk][0]) if marks[maker.pk] else None,
            "marks": [
                (text_of(mark), years_of(mark), source_of(mark, ref), basis_of(mark))
                for mark in marks[maker.pk][:MARKS_ON_A_ROW]
            ],
            "more": max(0, len(marks[maker.pk]) - MARKS_ON_A_ROW),
        }
        for maker in page.object_list
    ]
    context = {
        "page": page,
        "rows": shown,
        "q": words,
        "narrow": narrow,
        "mine": len(mine),
        "all": len(every),
        "alike": [] if words or page.number > 1 else alike_in(MAKER_MERGING),
    }
    return render(request, "pages/makers/list.html", context)


@require_safe
def maker(request: HttpRequest, slug: str) -> HttpResponse:
    """Marks on a ruler, works, codes, pieces by year, the years missing; also while it lies in the bin."""
    found = get_object_or_404(Maker.everything.prefetch_related("works__town"), slug=slug)
    if found.binned_at and (into := merged_into(found)):
        return redirect(into)
    ref = current_reference()
    marks = marks_by_maker([found], ref)[found.pk]
    codes = {code.id: code for mark in marks for code in ref.codes_of.get(mark.id, ())}
    finds = Specimen.objects.by_maker(found)
    allowed = years_allowed(codes.values(), marks, timezone.localdate().year)
    spreads = dict(finds.order_by().values_list("made_spread").annotate(n=Count("pk"))) if allowed else {}
    live_here = Q(finds__maker=found, finds__binned_at=None)
    axis = catalogue_axis()
    series = series_of(finds, axis)
    context = {
        "maker": found,
        "marks": marks_shown(marks, ref, axis),
        "codes": codes_shown(codes.values(), ref),
        "series": series,
        "looked_for": series.count > 0 if found.look_for_years is None else found.look_for_years,
        "grid": year_grid(allowed, spreads),
        "bottlers": with_pieces(Bottler.objects.filter(live_here), live_here).select_related("town"),
        "products": with_pieces(Product.objects.filter(live_here), live_here).select_related("bottler"),
        "neighbours": neighbours_of(found, ref, axis),
        "merges": merges_into(found),
        "wishes": wishes_here(found),
        "own_marks": any(mark.id.startswith("own-") for mark in marks),
        "notes_form": NotesForm(instance=found),
        "all_address": f"?maker={found.slug}",
    }
    return render(request, "pages/makers/maker.html", context)


@require_POST
@kept_once
def maker_notes(request: HttpRequest, slug: str) -> HttpResponse:
    """Write the notes on a maker, one's own or a published one; from the page itself."""
    found = get_object_or_404(Maker, slug=slug)
    form = NotesForm(request.POST, instance=found)
    return notes_page(request, form, "pages/makers/notes.html")
