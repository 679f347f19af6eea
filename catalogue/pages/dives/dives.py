"""The dives: list, one, and its form."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.photos.queries import gallery_of
from catalogue.sites.forms import DiveForm
from catalogue.sites.models import Dive, Site
from catalogue.sites.queries import dives_with_counts, sites_with_counts
from catalogue.sites.services import log_dive
from catalogue.specimens.models import Specimen


@require_safe
def dives(request: HttpRequest) -> HttpResponse:
    """Sites with their dives and pieces, then every dive."""
    page = Paginator(dives_with_counts(), 50).get_page(request.GET.get("page"))
    sites = list(sites_with_counts())
    return render(request, "pages/dives/dives.html", {"page": page, "sites": sites})


@require_safe
def dive(request: HttpRequest, year: int, ordinal: int) -> HttpResponse:
    """One dive and what came up on it."""
    found = get_object_or_404(
        Dive.objects.select_related("site").prefetch_related("buddies", "site__permissions"),
        year=year,
        ordinal=ordinal,
    )
    finds = Specimen.objects.filter(dive=found).with_card_parts().in_order()
    return render(
        request,
        "pages/dives/dive.html",
        {
            "dive": found,
            "site": found.site,
            "cards": cards_of(finds),
            "gallery": gallery_of(found),
            "on_card": found.card_pictures.count(),
        },
    )


@GET_OR_POST
@kept_once
def dive_form(request: HttpRequest, year: int | None = None, ordinal: int | None = None) -> HttpResponse:
    """Log a dive, or change one. Its ordinal stays as given."""
    known = get_object_or_404(Dive, year=year, ordinal=ordinal) if year else None
    site = Site.objects.filter(slug=request.GET.get("site", "")).first()
    form = DiveForm(request.POST or None, instance=known, initial={"site": site} if site else None)
    if request.method == "POST" and form.is_valid():
        saved = log_dive(form.instance, form.buddies(), fields=form.changed_columns() if known else None)
        messages.success(request, f"Dive {saved.ordinal} of {saved.year} is logged.")
        return redirect(saved)
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/dives/dive_form.html", {"form": form, "dive": known}, status=status)
