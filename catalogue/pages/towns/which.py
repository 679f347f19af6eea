"""Which of several listed towns one without a position is: offered on its page, chosen there."""

from dataclasses import dataclass
from statistics import fmean

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merge_of
from catalogue.common.positions import distance_km
from catalogue.common.text import isolated
from catalogue.pages.parts.series import Series
from catalogue.pages.parts.undo import say_with_undo
from catalogue.specimens.gazetteer import Listed
from catalogue.specimens.models import Town
from catalogue.specimens.place_keys import place_keys
from catalogue.specimens.services.merging import MergeError
from catalogue.specimens.services.which_town import candidates_for, leave_open, pieces_of_listed, settle_town

MOST_TOWN_CHOICES = 6
NONE_OF_THEM = "none"
ASKED_AGAIN = "You are asked again when the list of towns grows."


@dataclass(frozen=True, slots=True)
class TownChoice:
    """One listed town, its distance from the middle of where the pieces lay, where that is known, and how
    many finds are marked for it already.
    """

    row: Listed
    km: float | None
    pieces: int = 0

    @property
    def value(self) -> str:
        """What tells it from others of its name, in a form."""
        return f"{self.row.latitude},{self.row.longitude}"

    @property
    def by_other_name(self) -> bool:
        """Whether what was typed is another name of it, such as an older one."""
        return self.row.key not in place_keys(self.row.name)


def choices_of(town: Town, series: Series) -> list[TownChoice]:
    """What the town may be: of the likeliest, the nearest to its pieces first. One query at most."""
    sites = [card.find.where_found for card in series.cards]
    lay = [
        (float(site.latitude), float(site.longitude))
        for site in sites
        if site is not None and site.latitude is not None and site.longitude is not None
    ]
    middle = (fmean(lat for lat, _ in lay), fmean(lon for _, lon in lay)) if lay else None
    rows = candidates_for(town, middle)[:MOST_TOWN_CHOICES]
    has = pieces_of_listed(rows)
    choices = [
        TownChoice(row, distance_km(middle, row.place) if middle else None, has[row.place]) for row in rows
    ]
    return sorted(choices, key=lambda choice: choice.km or 0.0)


@require_POST
@kept_once
def which(request: HttpRequest, slug: str) -> HttpResponse:
    """It is that one. Where the catalogue has it already, the two become one. Or it is none of them."""
    found = get_object_or_404(Town, slug=slug)
    value = request.POST.get("town", "")
    if value == NONE_OF_THEM:
        leave_open(found)
        messages.success(request, f"{isolated(found.name)} stays as typed. {ASKED_AGAIN}")
        return redirect(found)
    row = next((row for row in candidates_for(found) if TownChoice(row, None).value == value), None)
    if row is None:
        messages.error(
            request, f"That is none of the towns called {isolated(found.name)}. Choose one of the list."
        )
        return redirect(found)
    typed = isolated(found.name)
    try:
        kept = settle_town(found, row)
    except MergeError as why:
        messages.error(request, str(why))
        return redirect(found)
    words = f"{typed} is {row.words}."
    if made := merge_of(found):
        say_with_undo(request, words, reverse("towns:merge_undo", args=[made.pk]))
    else:
        messages.success(request, words)
    return redirect(kept)
