"""Time interval (EDTF to days) in which a find came up: what its grounds are asked of."""

from datetime import MAXYEAR, MINYEAR, date
from typing import Final

from catalogue.sites.grounds import DaySpan
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
