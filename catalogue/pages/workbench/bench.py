"""The bench at a glance, which piece is in the hand, first aid to hang up, and when a bath is due."""

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.care.piece_matching import GROWTH_MM, RULE_MM, MeasuredPiece
from catalogue.care.queries import finds_by_stage
from catalogue.care.queries.likeness import pieces_like
from catalogue.care.queries.workbench import open_baths, open_soaks
from catalogue.care.safety import DEFER, reminder_sources, reminders
from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import QuantityField
from catalogue.common.limits import key_typed
from catalogue.common.localisation import clock_words, units_shown
from catalogue.common.quantities import LENGTH
from catalogue.pages.parts.elevations import elevations_of
from catalogue.specimens.models import Specimen


@require_safe
def workbench(request: HttpRequest) -> HttpResponse:
    """What runs and when somebody has to come; what is undecided; finds by stage, the longest there first."""
    now = timezone.now()
    rows = finds_by_stage()
    soaks = open_soaks(now)
    baths = open_baths(now)
    # as they stand: one query for the pieces of all vessels
    inside = [member.find for row in baths for member in row.inside]
    inside += [member.find for row in soaks for member in row.members]
    stands = {each.find.pk: each for each in elevations_of(inside).standing}
    context = {
        "now": now,
        "baths": [(row, [stands[member.find_id] for member in row.inside]) for row in baths],
        "soaks": [(row, [stands[member.find_id] for member in row.members]) for row in soaks],
        "rows": rows,
        # Without a look aimed at, nobody knows what to do next.
        "undecided": [each for row in rows for each in row.finds if not each.find.look],
        "looks": Specimen.Look,
        "alarm": "late" if any(row.late for row in baths) else any(row.to_look for row in baths),
    }
    return render(request, "pages/workbench/workbench.html", context)


MOST_MATCHES = 12


class WhichForm(HouseForm):
    """What a rule says of the piece in the hand."""

    base = QuantityField(LENGTH, label="Base across", least=0.1, most=1500)
    height = QuantityField(LENGTH, label="Height", least=0.1, most=1500)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        return {name: None if data.get(name) is None else float(data[name]) for name in self.fields}


@require_safe
def which(request: HttpRequest) -> HttpResponse:
    """Find a piece again by base, height and mark: among a bath's own, or all on the bench."""
    typed = {name: request.GET.get(name, "").strip()[:30] for name in ("base", "height", "mark", "bath")}
    form = WhichForm(typed)
    sizes = form.cleaned_data if form.is_valid() else {}
    seen = MeasuredPiece(sizes.get("base"), sizes.get("height"), typed["mark"], units_shown())
    asked = any((seen.base_mm, seen.height_mm, seen.letters))
    found = (
        pieces_like(seen, bath=key_typed(typed["bath"]))[:MOST_MATCHES] if asked and not form.errors else []
    )
    context = {
        "typed": typed,
        "form": form,
        "found": found,
        "asked": asked,
        "rule_mm": RULE_MM,
        "growth_mm": GROWTH_MM,
    }
    return render(request, "pages/workbench/which.html", context, status=422 if form.errors else 200)


@require_safe
def first_aid(request: HttpRequest) -> HttpResponse:
    """First aid, limits and what never to do, to print and hang up."""
    return render(
        request,
        "pages/workbench/first_aid.html",
        {
            "reminders": reminders(),
            "sources": reminder_sources(),
            "defer": DEFER,
        },
    )


@require_safe
def due(request: HttpRequest) -> JsonResponse:
    """When somebody has to look at a bath, for the watch that every page keeps. Times in ms since 1970."""
    now = timezone.now()
    rows = [
        {
            "due": int(row.due.timestamp() * 1000),
            "late": int(row.load.look_to.timestamp() * 1000),
            "at": clock_words(row.due),
            "what": str(row.bath),
            "pieces": len(row.inside),
            "url": reverse("workbench:bath", args=[row.bath.pk]),
        }
        for row in open_baths(now)
        if row.load and row.due
    ]
    answer = JsonResponse({"now": int(now.timestamp() * 1000), "baths": rows})
    answer["Cache-Control"] = "no-store"
    return answer
