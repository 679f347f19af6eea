"""Where a find came from, on what grounds, and what still waits for somebody's word."""

from dataclasses import dataclass

from django.utils import timezone

from catalogue.common.positions import distance_km
from catalogue.sites.models import Permission, Site
from catalogue.sites.queries import permission_now
from catalogue.specimens.models import Specimen

# Ages that rules on taking things key on (statutes of several countries); which one counts differs by place.
AGE_LINES = (10, 50, 75, 100)


@dataclass(frozen=True, slots=True)
class Provenance:
    """What the page says beside the place a find lay in."""

    site: Site | None
    permission: Permission | None
    on_hold: bool
    was_cleared: bool
    age_lines: str
    town_km: int | None

    @property
    def unanswered(self) -> bool:
        """No answer about taking things is on record for this place (or no place is)."""
        return self.permission is None


def provenance_of(find: Specimen) -> Provenance:
    """No query where the permissions of its site are prefetched."""
    site = find.where_found
    return Provenance(
        site=site,
        permission=permission_now(site) if site else None,
        on_hold=bool(site and site.holds),
        was_cleared=bool(site and site.hold_cleared_reason),
        age_lines=age_lines(find.made_from, find.made_to),
        town_km=town_distance_km(find),
    )


def town_distance_km(find: Specimen) -> int | None:
    """Whole km between where it lay and the town it is marked for; None where either is unknown."""
    site, town = find.where_found, find.town
    if site is None or town is None:
        return None
    if None in (site.latitude, site.longitude, town.latitude, town.longitude):
        return None
    here = (float(site.latitude), float(site.longitude))
    return round(distance_km(here, (town.latitude, town.longitude)))


def age_lines(first: int | None, last: int | None) -> str:
    """Which of the ages that rules key on it has passed, by its window; empty where it has none."""
    this_year = timezone.localdate().year
    sure = [line for line in AGE_LINES if last is not None and this_year - last >= line]
    perhaps = [
        line for line in AGE_LINES if line not in sure and (first is None or this_year - first >= line)
    ]
    if first is None and last is None:
        return ""
    parts = []
    if sure:
        parts.append(f"over {sure[-1]} years old")
    if perhaps:
        parts.append(f"perhaps over {perhaps[-1]}")
    return ", ".join(parts) or f"under {AGE_LINES[0]} years old"
