"""What can be done with dives and sites."""

from collections.abc import Sequence

from django.db import transaction
from django.utils import timezone

from catalogue.common.text import free_slug
from catalogue.people.models import Person

from .models import Dive, DiveSeries, Site


def keep_site(site: Site) -> Site:
    """Save a site; a new one gets its address."""
    if not site.slug:
        site.slug = free_slug(Site, site.name)
    site.save()
    return site


@transaction.atomic
def log_dive(dive: Dive, buddies: list[Person] | None = None, *, fields: Sequence[str] | None = None) -> Dive:
    """Save a dive. A new one is given the next ordinal of its year under a lock; an old one keeps its own.

    `fields`: what a form changed on an old one. `buddies` None leaves them as they are.

    The year is that of the day it was first logged with: it is part of numbers on labels, so a later
    correction of the date changes neither year nor ordinal.
    """
    if dive.pk is None:
        dive.year = dive.date.year
        dive.ordinal = _next_ordinal(dive.year)
        fields = None
    dive.save(update_fields=fields)
    if buddies is not None:
        dive.buddies.set(buddies)
    return dive


def _next_ordinal(year: int) -> int:
    DiveSeries.objects.get_or_create(year=year)
    series = DiveSeries.objects.select_for_update().get(year=year)
    series.last += 1
    series.save(update_fields=["last"])
    return series.last


@transaction.atomic
def clear_hold(site: Site, reason: str, person: Person | None) -> None:
    """A person's decision that work on this site's finds may go on. Raises ValueError without a reason."""
    if not reason.strip():
        raise ValueError("Give the reason: who said so, and what they looked at.")
    site.hold_cleared_reason = reason.strip()
    site.hold_cleared_by = person
    site.hold_cleared_on = timezone.localdate()
    site.save(update_fields=["hold_cleared_reason", "hold_cleared_by", "hold_cleared_on"])
