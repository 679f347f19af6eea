"""Where and when a row says that its find came up: which dive or site that is, or would be."""

import re
from dataclasses import dataclass

from catalogue.common.text import folded

from .answers import SheetAnswers
from .cell_words import WhenSaid
from .on_record import KnownDive, KnownSite, OnRecord
from .row_said import SiteSaid, WherePlan

NEARLY_DEG = 0.000_01


class CellObjection(ValueError):
    """What stands against a row, and the fact whose cell it is about."""

    def __init__(self, key: str, why: str) -> None:
        super().__init__(why)
        self.key, self.why = key, why


@dataclass(slots=True)
class WhereCells:
    """The cells of a row that tell of it, read."""

    site: str = ""
    water_body: str = ""
    position: tuple[float, float] | None = None
    uncertainty_m: int | None = None
    dive: tuple[int, int] | None = None
    number: tuple[int, int] | None = None
    when: WhenSaid | None = None
    recovered: WhenSaid | None = None


def dive_named(cell: str) -> tuple[int, int] | None:
    """Year and number of a dive; None for an empty cell. Raises CellObjection."""
    if not cell:
        return None
    found = re.fullmatch(r"(\d{4})\.(\d{1,6})", cell)
    if not found:
        raise CellObjection("dive", f"“{cell[:40]}” is no dive: write year and number, 2026.14")
    return int(found[1]), int(found[2])


@dataclass(slots=True)
class WhereRead:
    """The plan, the site to be added, a line for the notes, and what a person should know of it."""

    plan: WherePlan
    site: SiteSaid | None = None
    note: str = ""
    remark: str = ""


def where_found(said: WhereCells, known: OnRecord, answers: SheetAnswers) -> WhereRead:
    """Find the dive or site. Raises CellObjection where the cells contradict each other or the catalogue."""
    site = known.sites.get(folded(said.site)) if said.site else None
    added = None
    if said.site and site is None:
        if not answers.make_sites:
            raise CellObjection("site", f"no site on record is called “{said.site}”")
        added = SiteSaid(said.site, said.water_body, said.position, said.uncertainty_m)
    read = WhereRead(WherePlan(site=site.pk if site else None), added)
    if added:
        read.plan.new_site = folded(said.site)
    elif site:
        _same_position(site, said, read)
    elif said.position or said.water_body:
        key = "position" if said.position else "water_body"
        raise CellObjection(key, "a water and a position belong to a site: name it in a column of its own")
    _dive(read, said, known, answers)
    read.plan.words = _words(read, said, known)
    return read


def _same_position(site: KnownSite, said: WhereCells, read: WhereRead) -> None:
    if said.water_body and folded(said.water_body) != folded(site.water_body):
        read.remark = f"its water is not changed by a sheet: do that on the page of {site.name}"
    if said.position and site.position is None:
        read.remark = f"{site.name} is on record without a position: add it on the site's page"
    elif said.position and site.position:
        off = max(abs(a - b) for a, b in zip(said.position, site.position, strict=True))
        if off > NEARLY_DEG:
            raise CellObjection("position", f"{site.name} lies elsewhere on record: change that on its page")


def _dive(read: WhereRead, said: WhereCells, known: OnRecord, answers: SheetAnswers) -> None:
    day = said.when.day if said.when else None
    dive = _named_dive(said, known, read) if said.dive else None
    if said.dive and dive is None:
        may = answers.make_dives and day is not None and day.year == said.dive[0]
        if not (may and (read.site or read.plan.site)) or day is None:
            raise CellObjection("dive", f"no dive {said.dive[0]}.{said.dive[1]} is on record")
        read.plan.new_dive = (day, said.dive[1])
        return
    if dive is None and not said.dive and said.number:
        dive = _fitting(known.dives.get(said.number), said, read)
    if dive is None and day is not None:
        dive = _of_day(read, said, known)
    if dive is not None:
        read.plan.dive, read.plan.site, read.plan.new_site, read.site = dive.pk, None, "", None
        return
    if day is not None and answers.make_dives and (read.site or read.plan.site):
        free = said.number if said.number and said.number[0] == day.year else None
        read.plan.new_dive = (day, free[1] if free and free not in known.dives else None)
        return
    _without_dive(read, said)


def _without_dive(read: WhereRead, said: WhereCells) -> None:
    when = said.when or said.recovered
    if when is None:
        return
    if when.day is not None:
        read.plan.recovered = f"{when.day.year:04d}"
        read.note = f"Came up on {when.day.isoformat()}."
        read.remark = "no dive on that day is on record: its year is kept, the day goes into the notes"
    else:
        read.plan.recovered = when.years
        read.note = f"Came up: {when.finer}." if when.finer else ""


def _named_dive(said: WhereCells, known: OnRecord, read: WhereRead) -> KnownDive | None:
    assert said.dive
    dive = known.dives.get(said.dive)
    if dive is None:
        return None
    name = f"{dive.year}.{dive.ordinal}"
    if dive.binned:
        raise CellObjection("dive", f"dive {name} lies in the bin: restore it first")
    if said.site and read.plan.site != dive.site:
        raise CellObjection("site", f"dive {name} was at {known.site_names.get(dive.site, 'another site')}")
    if said.when and said.when.day and said.when.day != dive.day:
        raise CellObjection("dived_on", f"dive {name} was on {dive.day.isoformat()}")
    return dive


def _fitting(dive: KnownDive | None, said: WhereCells, read: WhereRead) -> KnownDive | None:
    """The dive that its number names, where the row says nothing else."""
    if dive is None or dive.binned:
        return None
    day_fits = said.when is None or said.when.day == dive.day
    return dive if day_fits and (not said.site or read.plan.site == dive.site) else None


def _of_day(read: WhereRead, said: WhereCells, known: OnRecord) -> KnownDive | None:
    assert said.when and said.when.day
    dives = known.dives_of_day.get(said.when.day, [])
    if said.site:
        dives = [dive for dive in dives if dive.site == read.plan.site]
    if len(dives) > 1:
        named = " and ".join(
            f"{dive.year}.{dive.ordinal}" for dive in sorted(dives, key=lambda each: each.ordinal)[:4]
        )
        raise CellObjection(
            "dived_on", f"on that day there are dives {named}: say which in a column of dives"
        )
    return dives[0] if dives else None


def _words(read: WhereRead, said: WhereCells, known: OnRecord) -> str:
    plan = read.plan
    site = said.site or known.site_names.get(plan.site or 0, "")
    if plan.dive is not None:
        dive = next(each for each in known.dives.values() if each.pk == plan.dive)
        return f"dive {dive.year}.{dive.ordinal}, {known.site_names.get(dive.site, '')}"
    if plan.new_dive:
        return f"a new dive on {plan.new_dive[0].isoformat()}, {site}"
    return ", ".join(filter(None, [site, plan.recovered]))
