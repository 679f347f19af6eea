"""The list of makers, and a maker's page."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from catalogue.desk.browse.paging import page_of
from catalogue.desk.browse.series import series_of
from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.tables import current_reference

from .queries import makers_in_order, makers_matching, marks_by_maker
from .shown import codes_shown, drawn, marks_shown, years_of

PER_PAGE = 40
MARKS_ON_A_ROW = 3


@require_safe
def makers(request: HttpRequest) -> HttpResponse:
    """Own makers first, then the published; searched by name, place or the letters of a mark."""
    ref = current_reference()
    words = request.GET.get("q", "").replace("\x00", "").strip()[:200]
    rows = makers_in_order()
    listed = makers_matching(rows, words, ref) if words else rows
    page, complaint = page_of(Paginator(listed, PER_PAGE), request.GET.get("page", ""))
    if complaint:
        messages.warning(request, complaint)
    marks = marks_by_maker(list(page.object_list), ref)
    shown = [
        {
            "maker": maker,
            "marks": [(drawn(mark), years_of(mark)) for mark in marks[maker.pk][:MARKS_ON_A_ROW]],
            "more": max(0, len(marks[maker.pk]) - MARKS_ON_A_ROW),
        }
        for maker in page.object_list
    ]
    return render(request, "desk/browse/makers/list.html", {"page": page, "rows": shown, "q": words})


@require_safe
def maker(request: HttpRequest, slug: str) -> HttpResponse:
    """Marks on a ruler, works, codes with an example, pieces; also while it lies in the bin."""
    found = get_object_or_404(
        Maker.everything.select_related("followed").prefetch_related("works__town"), slug=slug
    )
    ref = current_reference()
    marks = marks_by_maker([found], ref)[found.pk]
    codes = {code.id: code for mark in marks for code in ref.codes_of.get(mark.id, ())}
    finds = Specimen.objects.by_maker(found)
    context = {
        "maker": found,
        "marks": marks_shown(marks, ref),
        "codes": codes_shown(codes.values(), ref),
        "series": series_of(finds),
        "followed_by": found.followed_by.all(),
        "all_address": f"?maker={found.slug}",
    }
    return render(request, "desk/browse/makers/maker.html", context)
