"""When a find came up (EDTF to days), and on what grounds it rests then (valid time)."""

from collections.abc import Iterable
from datetime import MAXYEAR, MINYEAR, date
from typing import Final

from catalogue.sites.grounds import DayGrounds, DaySpan, grounds_on
from catalogue.sites.models import Permission
from catalogue.sites.queries import answers_by_site
from dating import edtf

from .models import Specimen

NO_DAY: Final = DaySpan()


def days_of(find: Specimen) -> DaySpan:
    """The day of its dive, else the days of "recovered about"; no day at all where neither is on record.

    A year said to be about or doubtful bounds nothing, and neither does the clock of the machine.
    """
    if find.dive:
        return DaySpan.of(find.dive.date)
    try:
        years = edtf.parse(find.recovered_edtf) if find.recovered_edtf else None
    except edtf.EdtfError:
        return NO_DAY
    if years is None:
        return NO_DAY
    first = None if years.start_approximate or years.start_uncertain else years.earliest
    last = None if years.end_approximate or years.end_uncertain else years.latest
    return DaySpan(_day(first, 1, 1), _day(last, 12, 31))


def _day(year: int | None, month: int, day: int) -> date | None:
    return date(year, month, day) if year is not None and MINYEAR <= year <= MAXYEAR else None


def grounds_of(find: Specimen) -> DayGrounds[Permission]:
    """No query where the permissions of its site are prefetched."""
    site = find.where_found
    return grounds_on(site.permissions.all() if site else (), days_of(find))


def grounds_by_find(finds: Iterable[Specimen]) -> dict[int, DayGrounds[Permission]]:
    """By the key of each. One query for any number of finds that have dive and site, none for no site."""
    rows = [(find, find.where_found) for find in finds]
    answers = answers_by_site({site.pk for _, site in rows if site})
    return {find.pk: grounds_on(answers[site.pk] if site else (), days_of(find)) for find, site in rows}
