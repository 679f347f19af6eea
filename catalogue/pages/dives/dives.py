"""The dives: list, one, and its form."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import keep_once
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_saved
from catalogue.photos.queries import gallery_of
from catalogue.sites.forms import DiveForm
from catalogue.sites.grounds import DayGrounds, DaySpan
from catalogue.sites.models import Dive, Permission, Site
from catalogue.sites.queries import (
    dives_with_counts,
    grounds_at,
    outlook_at,
    sites_with_counts,
    sites_with_dangers,
)
from catalogue.sites.services import log_dive
from catalogue.specimens import clock
from catalogue.specimens.models import Specimen

from .set_aside import ADD_SITE, THEN_BACK, set_aside_typed, take_typed

DIVES_PER_PAGE = 30


@dataclass(frozen=True, slots=True)
class DiveRow:
    """A dive in a list, with what was on record for its day."""

    dive: Dive
    grounds: DayGrounds[Permission]


def rows_of_dives(dives: Iterable[Dive], site: Site | None = None) -> list[DiveRow]:
    """No query where the permissions of their sites (or of the one `site` of them all) are prefetched."""
    return [DiveRow(dive, grounds_at(site or dive.site, DaySpan.of(dive.date))) for dive in dives]


@require_safe
def dives(request: HttpRequest) -> HttpResponse:
    """Sites with their dives and pieces, then every dive."""
    page = Paginator(dives_with_counts().prefetch_related("site__permissions"), DIVES_PER_PAGE).get_page(
        request.GET.get("page")
    )
    today = clock.today()
    context = {
        "page": page,
        "rows": rows_of_dives(page),
        "sites": [(site, outlook_at(site, today)) for site in sites_with_counts()],
    }
    return render(request, "pages/dives/dives.html", context)


@require_safe
def dive(request: HttpRequest, year: int, ordinal: int) -> HttpResponse:
    """One dive and what came up on it."""
    found = get_object_or_404(
        Dive.objects.select_related("site").prefetch_related("buddies", "site__permissions"),
        year=year,
        ordinal=ordinal,
    )
    grounds = grounds_at(found.site, DaySpan.of(found.date))
    finds = Specimen.objects.filter(dive=found).with_card_parts().in_order()
    return render(
        request,
        "pages/dives/dive.html",
        {
            "dive": found,
            "site": found.site,
            "grounds": grounds,
            "caution": grounds.caution(str(found.site)),
            "cards": cards_of(finds),
            "gallery": gallery_of(found),
            "on_card": found.card_pictures.count(),
        },
    )


@GET_OR_POST
def dive_form(request: HttpRequest, year: int | None = None, ordinal: int | None = None) -> HttpResponse:
    """Log a dive, or change one. Its ordinal stays as given."""
    if request.POST.get("act") == ADD_SITE:
        set_aside_typed(request)
        return redirect(f"{reverse('dives:site_new')}?{THEN_BACK}")
    if request.method == "POST":
        return keep_once(request, lambda: _log(request, _known(request, year, ordinal)))
    known = _known(request, year, ordinal)
    typed = take_typed(request)
    site = Site.objects.filter(slug=request.GET.get("site", "")).first()
    initial = {name: value for name, value in (typed or QueryDict()).items() if name != "once"}
    if site:
        initial["site"] = str(site.pk)
    return _form_page(request, DiveForm(instance=known, initial=initial), known, site=site)


def _known(request: HttpRequest, year: int | None, ordinal: int | None) -> Dive | None:
    if year is None:
        return None
    return record_to_edit(request, Dive.everything.all(), year=year, ordinal=ordinal)


def _log(request: HttpRequest, known: Dive | None) -> HttpResponse:
    form = DiveForm(request.POST, instance=known)
    if not form.is_valid():
        return _form_page(request, form, known, status=422)
    saved = log_dive(form.instance, form.buddies(), fields=form.changed_columns() if known else None)
    say_saved(request, saved, f"Dive {saved.ordinal} of {saved.year} is recorded.")
    return redirect(saved)


def _form_page(
    request: HttpRequest,
    form: DiveForm,
    known: Dive | None,
    *,
    site: Site | None = None,
    status: int = 200,
) -> HttpResponse:
    context: dict[str, object] = {
        "form": form,
        "dive": known,
        "clock": None if known else clock.doubt(),
        "site": site,
    }
    if site and not known:
        context["caution"] = outlook_at(site, clock.today()).caution(str(site))
    if not known:
        # Of a site that is chosen on the page nothing is known without a script: all are told.
        context["dangerous"] = [each for each in sites_with_dangers() if each != site]
    return render(request, "pages/dives/dive_form.html", context, status=status)
