"""One bottler: its pieces by year, its years in business, where it sold, who made its bottles."""

from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.series import series_of
from catalogue.pages.parts.with_pieces import with_pieces
from catalogue.specimens.forms import BottlerNotesForm
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town


@require_safe
def bottler(request: HttpRequest, slug: str) -> HttpResponse:
    """Its pieces by year on one ruler, and what they tell of towns, makers and products."""
    found = Bottler.objects.select_related("town").filter(slug=slug).first()
    if found is None:
        raise Http404
    live_here = Q(finds__bottler=found, finds__binned_at=None)
    products = Product.objects.filter(Q(bottler=found) | live_here)
    context = {
        "bottler": found,
        "series": series_of(Specimen.objects.filter(bottler=found)),
        "towns": with_pieces(Town.objects.filter(live_here), live_here),
        "makers": with_pieces(Maker.objects.filter(live_here), live_here),
        "products": with_pieces(products, live_here).select_related("bottler"),
        "gaps": gaps_of(found),
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
    return notes_page(request, form, "pages/bottlers/notes.html", "bottler")


def gaps_of(bottler: Bottler) -> list[str]:
    """What of it is not on record. No query where its town was read with it."""
    gaps = []
    if bottler.town is None:
        gaps.append("the town that it sold in")
    if bottler.from_year is None and bottler.to_year is None:
        gaps.append("its years in business")
    elif bottler.from_year is None:
        gaps.append("its first year in business")
    elif bottler.to_year is None:
        gaps.append("its last year in business")
    if (bottler.from_year or bottler.to_year) and not bottler.source:
        gaps.append("where the years are known from")
    return gaps
