"""Questions that pages ask of dives and sites, and a position as rounded as its site says."""

import math
import re
from collections.abc import Collection, Iterable
from datetime import date
from functools import lru_cache

from django.db.models import Count, Max, Q, QuerySet

from catalogue.common.positions import PUBLIC_STEP, distance_km, public_words, to_public
from catalogue.common.text import folded
from catalogue.sites.grounds import DayGrounds, DaySpan, Outlook, grounds_on, outlook
from catalogue.sites.models import Dive, Permission, Site


def grounds_at(site: Site, span: DaySpan) -> DayGrounds[Permission]:
    """What is on record about taking things there in that time. No query where permissions are prefetched."""
    return grounds_on(site.permissions.all(), span)


def outlook_at(site: Site, today: date) -> Outlook:
    """What is on record for coming dives there. No query where permissions are prefetched."""
    return outlook(site.permissions.all(), today)


def answers_by_site(keys: Iterable[int]) -> dict[int, list[Permission]]:
    """All that is on record of these sites, by their key. One query, none for no site."""
    found: dict[int, list[Permission]] = {key: [] for key in keys}
    if found:
        for answer in Permission.objects.filter(site__in=found):
            found[answer.site_id].append(answer)
    return found


def cleared_before(site: Site) -> list[Site]:
    """The site as its history has it when its hold was cleared and later set again, the latest first, each
    clearing once. One query."""
    rows = site.history.exclude(hold_cleared_reason="").select_related("hold_cleared_by")
    seen = {(site.hold_cleared_reason, site.hold_cleared_on)}
    found = []
    for row in rows.order_by("-history_date", "-history_id"):
        if (row.hold_cleared_reason, row.hold_cleared_on) not in seen:
            seen.add((row.hold_cleared_reason, row.hold_cleared_on))
            found.append(row)
    return found


def sites_with_dangers() -> list[Site]:
    """Sites with hazards of diving on record, by name. One query."""
    return [site for site in Site.objects.all() if site.danger_lines]


def place_for_visitors(site: Site | None, *, water: bool = False) -> str:
    """Words for a slip or a visitor's page, only as exact as the site is shown.

    A hidden site gives nothing at all: its name or its bay would give the place away as a position does. Only
    the slip, for whoever is given the piece, names its `water`; not where that holds the site's own name.
    """
    if site is None:
        return ""
    if site.show_as == Site.ShowAs.HIDDEN:
        return site.water_body if water and not told_of([site.name], [site.water_body]) else ""
    if site.show_as == Site.ShowAs.EXACT:
        parts = [site.name, site.water_body]
    else:
        parts = [site.water_body, _rounded(site)]
    return ", ".join(part for part in parts if part)


def position_for_visitors(site: Site) -> tuple[float, float, int | None] | None:
    """Latitude, longitude (degrees) and by how many m it is uncertain, only as exact as the site is shown.

    None for a hidden site and one without a position. A rounded one is the middle of its cell, and as
    uncertain as the cell's corner is far.
    """
    if site.latitude is None or site.longitude is None or site.show_as == Site.ShowAs.HIDDEN:
        return None
    here = (float(site.latitude), float(site.longitude))
    if site.show_as == Site.ShowAs.EXACT:
        return *here, site.uncertainty_m
    # a cell at the pole or the date line would have its middle beyond
    middle = (min(to_public(here[0]), 90.0), min(to_public(here[1]), 180.0))
    half = PUBLIC_STEP / 2
    nearer_the_equator = abs(middle[0]) - half
    corner = distance_km((abs(middle[0]), 0.0), (nearer_the_equator, half))
    return *middle, math.ceil(corner * 1000)


def _rounded(site: Site) -> str:
    if site.latitude is None or site.longitude is None:
        return ""
    return public_words(float(site.latitude), float(site.longitude))


def sites_told(texts: Collection[str]) -> list[str]:
    """Names of sites not shown exactly that the texts tell all the same, in any case. One query."""
    hidden = Site.objects.exclude(show_as=Site.ShowAs.EXACT).order_by("name")
    return told_of(hidden.values_list("name", flat=True), texts)


def told_of(names: Iterable[str], texts: Collection[str]) -> list[str]:
    """Which of these names the texts tell, in any case."""
    told = f" {' '.join(_plain_words(text) for text in texts)} "
    return [name for name in names if (words := _plain_name(name)) and f" {words} " in told]


@lru_cache(maxsize=2048)
def _plain_name(name: str) -> str:
    """Names are few, and asked of many texts."""
    return _plain_words(name)


def _plain_words(text: str) -> str:
    """The words alone, so that "TALLOW  cove's" still holds "tallow cove"."""
    return " ".join(re.findall(r"\w+", folded(text)))


FINDS_OF_DIVE = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


def dives_with_counts() -> QuerySet[Dive]:
    """Dives, latest first, each with its site and the number of its finds."""
    return Dive.objects.select_related("site").annotate(pieces=FINDS_OF_DIVE).latest_first()


def sites_with_counts() -> QuerySet[Site]:
    """Sites by name, each with its dives, its finds and the day of its last dive."""
    return (
        Site.objects.prefetch_related("permissions")
        .annotate(
            dived=Count("dives", filter=Q(dives__binned_at=None), distinct=True),
            pieces=Count("dives__finds", filter=Q(dives__finds__binned_at=None), distinct=True)
            + Count("loose_finds", filter=Q(loose_finds__binned_at=None), distinct=True),
            last=Max("dives__date", filter=Q(dives__binned_at=None)),
        )
        .order_by("name")
    )
