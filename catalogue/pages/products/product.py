"""One product: its pieces by year, who filled it, where it was sold, who made its bottles, what is open."""

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merged_into, merges_into
from catalogue.common.text import isolated
from catalogue.pages.bottlers.bottler import in_business
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.series import series_of
from catalogue.pages.parts.wishes import wishes_here
from catalogue.pages.parts.with_pieces import with_pieces
from catalogue.specimens.forms import ProductNotesForm
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town
from catalogue.specimens.queries import catalogue_axis


@require_safe
def product(request: HttpRequest, slug: str) -> HttpResponse:
    """Its pieces by year on one ruler, and what they tell of bottlers, towns and makers."""
    found = get_object_or_404(Product.everything.select_related("bottler__town"), slug=slug)
    if found.binned_at and (into := merged_into(found)):
        return redirect(into)
    live_here = Q(finds__product=found, finds__binned_at=None)
    bottlers = Bottler.objects.filter(live_here)
    axis = catalogue_axis()
    context = {
        "product": found,
        "series": series_of(Specimen.objects.filter(product=found), axis),
        "business": in_business(found.bottler, axis) if found.bottler else "",
        "bottlers": with_pieces(bottlers, live_here).select_related("town"),
        "towns": with_pieces(Town.objects.filter(live_here), live_here),
        "makers": with_pieces(Maker.objects.filter(live_here), live_here),
        "gaps": gaps_of(found),
        "merges": merges_into(found),
        "wishes": wishes_here(found),
        "notes_form": ProductNotesForm(instance=found),
        "all_address": f"?product={found.slug}",
    }
    return render(request, "pages/products/product.html", context)


@require_POST
@kept_once
def product_notes(request: HttpRequest, slug: str) -> HttpResponse:
    """Write the notes; from the page itself."""
    found = get_object_or_404(Product, slug=slug)
    form = ProductNotesForm(request.POST, instance=found)
    return notes_page(request, form)


def gaps_of(product: Product) -> list[str]:
    """What of it is not on record. No query where its bottler was read with it."""
    gaps = []
    if product.bottler is None:
        gaps.append("the bottler who filled it")
    elif product.bottler.from_year is None and product.bottler.to_year is None:
        gaps.append(f"when {isolated(product.bottler.name)} was in business")
    if not product.contents:
        gaps.append("what it was")
    return gaps
