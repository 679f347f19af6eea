"""Which of several listed towns one without a position is: offered on its page, chosen there."""

from dataclasses import dataclass
from statistics import fmean

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.positions import distance_km
from catalogue.pages.parts.series import Series
from catalogue.specimens.gazetteer import Listed
from catalogue.specimens.models import Town
from catalogue.specimens.services.merging import MergeError
from catalogue.specimens.services.towns import candidates_for, settle_town

MOST_TOWN_CHOICES = 6


@dataclass(frozen=True, slots=True)
class TownChoice:
    """One listed town, and its distance from the middle of where the pieces lay, where that is known."""

    row: Listed
    km: float | None

    @property
    def value(self) -> str:
        """What tells it from others of its name, in a form."""
        return f"{self.row.latitude},{self.row.longitude}"


def choices_of(town: Town, series: Series) -> list[TownChoice]:
    """What the town may be: nearest to where its pieces lay first, else the most populous. No query."""
    sites = [card.find.where_found for card in series.cards]
    lay = [
        (float(site.latitude), float(site.longitude))
        for site in sites
        if site is not None and site.latitude is not None and site.longitude is not None
    ]
    middle = (fmean(lat for lat, _ in lay), fmean(lon for _, lon in lay)) if lay else None
    choices = [
        TownChoice(row, distance_km(middle, (row.latitude, row.longitude)) if middle else None)
        for row in candidates_for(town)
    ]
    if middle:
        choices.sort(key=lambda choice: choice.km or 0.0)
    return choices[:MOST_TOWN_CHOICES]


@require_POST
@kept_once
def which(request: HttpRequest, slug: str) -> HttpResponse:
    """It is that one. Where the catalogue has it already, the two become one."""
    found = get_object_or_404(Town, slug=slug)
    value = request.POST.get("town", "")
    row = next((row for row in candidates_for(found) if TownChoice(row, None).value == value), None)
    if row is None:
        messages.error(request, f"That is none of the towns called {found.name}. Choose one of the list.")
        return redirect(found)
    try:
        kept = settle_town(found, row)
    except MergeError as why:
        messages.error(request, str(why))
        return redirect(found)
    messages.success(request, f"It is {row.words}.")
    return redirect(kept)
