"""What a find's page says beside the place it lay in: grounds, ages that rules key on, how far its town."""

from dataclasses import dataclass

from django.utils import timezone

from catalogue.common.positions import distance_km
from catalogue.sites.grounds import DayGrounds
from catalogue.sites.models import Permission, Site
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import grounds_of
from dating.window import PROBABLY

# Ages that rules on taking things key on (statutes of several countries); which one counts differs by place.
AGE_LINES = (10, 50, 75, 100)


@dataclass(frozen=True, slots=True)
class Provenance:
    """What the page says beside the place a find lay in."""

    site: Site | None
    grounds: DayGrounds[Permission]
    on_hold: bool
    was_cleared: bool
    age_lines: str
    town_km: int | None

    @property
    def caution(self) -> tuple[str, str]:
        """What is wrong with its grounds, and what to do; both empty where nothing is."""
        return self.grounds.caution(str(self.site or ""))


def provenance_of(find: Specimen) -> Provenance:
    """No query where the permissions of its site are prefetched."""
    site = find.where_found
    return Provenance(
        site=site,
        grounds=grounds_of(find),
        on_hold=bool(site and site.holds),
        was_cleared=bool(site and site.hold_cleared_reason),
        age_lines=age_lines(find.made_from, find.made_to, find.made_words),
        town_km=town_distance_km(find),
    )


def town_distance_km(find: Specimen) -> int | None:
    """Whole km between where it lay and the town it is marked for; None where either is unknown.

    Nothing under a kilometre: both are positions of places, not of a bottle.
    """
    site, town = find.where_found, find.town
    if site is None or town is None:
        return None
    if site.latitude is None or site.longitude is None or town.latitude is None or town.longitude is None:
        return None
    here = (float(site.latitude), float(site.longitude))
    return round(distance_km(here, (town.latitude, town.longitude))) or None


def age_lines(first: int | None, last: int | None, words: str) -> str:
    """Which of the ages that rules key on it has passed, by its window, no surer than the words of its years.

    Empty where it has no window.
    """
    this_year = timezone.localdate().year
    sure = [line for line in AGE_LINES if last is not None and this_year - last >= line]
    perhaps = [
        line for line in AGE_LINES if line not in sure and (first is None or this_year - first >= line)
    ]
    if first is None and last is None:
        return ""
    doubt = PROBABLY if words.startswith(PROBABLY) else ""
    parts = []
    if sure:
        parts.append(f"{doubt}over {sure[-1]} years old")
    if perhaps:
        parts.append(f"perhaps over {perhaps[-1]}")
    return ", ".join(parts) or f"{doubt}under {AGE_LINES[0]} years old"
