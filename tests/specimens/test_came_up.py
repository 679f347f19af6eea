"""The days in which a find came up, from its dive or from what was written of it."""

from datetime import date

import pytest

from catalogue.sites.grounds import DaySpan
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import NO_DAY, days_of
from tests import factories

WRITTEN = [
    ("1995", DaySpan(date(1995, 1, 1), date(1995, 12, 31))),
    ("199X", DaySpan(date(1990, 1, 1), date(1999, 12, 31))),
    ("1990/1999", DaySpan(date(1990, 1, 1), date(1999, 12, 31))),
    ("1990/..", DaySpan(date(1990, 1, 1), None)),
    ("../1999", DaySpan(None, date(1999, 12, 31))),
    # about: the year before it or after it may be meant
    ("1995~", NO_DAY),
    ("1995?", NO_DAY),
    ("1995~/1999", DaySpan(None, date(1999, 12, 31))),
    ("1990/1999?", DaySpan(date(1990, 1, 1), None)),
    ("[1995~,1997]", NO_DAY),
    ("0000", DaySpan(None, None)),
    ("", NO_DAY),
    ("some summer", NO_DAY),
]


@pytest.mark.parametrize(("written", "span"), WRITTEN)
def test_the_days_of_what_was_written(written: str, span: DaySpan) -> None:
    assert days_of(Specimen(recovered_edtf=written)) == span


@pytest.mark.django_db
def test_a_dive_has_one_day_whatever_else_is_written() -> None:
    find = factories.find(dive=factories.dive(date=date(2024, 6, 1)), recovered_edtf="199X")
    assert days_of(find) == DaySpan.of(date(2024, 6, 1))
