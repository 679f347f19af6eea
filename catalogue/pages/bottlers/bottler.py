"""One bottler: its pieces by year, its years in business, where it sold, who made its bottles."""

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merged_into, merges_into
from catalogue.common.text import isolated
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.series import series_of
from catalogue.pages.parts.wishes import wishes_here
from catalogue.pages.parts.with_pieces import with_pieces
from catalogue.specimens.forms import BottlerNotesForm
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town
from catalogue.specimens.queries import catalogue_axis


@require_safe
def bottler(request: HttpRequest, slug: str) -> HttpResponse:
    """Its pieces by year on one ruler, and what they tell of towns, makers and products."""
    found = get_object_or_404(Bottler.everything.select_related("town"), slug=slug)
    if found.binned_at and (into := merged_into(found)):
        return redirect(into)
    live_here = Q(finds__bottler=found, finds__binned_at=None)
    products = Product.objects.filter(Q(bottler=found) | live_here)
    axis = catalogue_axis()
    context = {
        "bottler": found,
        "series": series_of(Specimen.objects.filter(bottler=found), axis),
        "business": in_business(found, axis),
        "towns": with_pieces(Town.objects.filter(live_here), live_here),
        "makers": with_pieces(Maker.objects.filter(live_here), live_here),
        "products": with_pieces(products, live_here).select_related("bottler"),
        "gaps": gaps_of(found),
        "merges": merges_into(found),
        "wishes": wishes_here(found),
        "notes_form": BottlerNotesForm(instance=found),
        "all_address": f"?bottler={found.slug}",
    }
    return render(request, "pages/bottlers/bottler.html", context)


@require_POST
@kept_once
def bottler_notes(request: HttpRequest, slug: str) -> HttpResponse:
    """Write the notes; from the page itself."""
    found = get_object_or_404(Bottler, slug=slug)
    form = BottlerNotesForm(request.POST, instance=found)
    return notes_page(request, form)


def in_business(bottler: Bottler, axis: YearAxis) -> SafeString:
    """Its years in business as a band on the axis of its pieces; empty where neither is on record."""
    window = (bottler.from_year, bottler.to_year)
    if window == (None, None):
        return SafeString("")
    words = f"in business {bottler.business_words}"
    # safe: the drawing escapes every word it holds
    return mark_safe(small_ruler(axis, window=window, words=words, labels=False))


def gaps_of(bottler: Bottler) -> list[str]:
    """What of it is not on record. No query where its town was read with it."""
    gaps = []
    if bottler.town is None:
        gaps.append("the town that it sold in")
    elif bottler.town.latitude is None:
        gaps.append(f"where {isolated(bottler.town.name)} lies")
    if bottler.from_year is None and bottler.to_year is None:
        gaps.append("its years in business")
    elif bottler.from_year is None:
        gaps.append("its first year in business")
    elif bottler.to_year is None:
        gaps.append("its last year in business")
    if (bottler.from_year or bottler.to_year) and not bottler.source:
        gaps.append("where the years are known from")
    return gaps
