"""The axis that a catalogue's years choose, and that visitors' is chosen by what they may see."""

from datetime import date

import pytest

from catalogue.common.drawings.year_axis import YearAxis
from catalogue.specimens import queries
from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db
USUAL = YearAxis(1800, date.today().year + 1)


def of_years(first: int | None, last: int | None, **columns: object) -> Specimen:
    """A find that is known to be of these years."""
    known = KnownYears(what="a law", from_year=first, to_year=last, certainty="certain")
    return factories.find("Bottle", Parts(known=[known]), **columns)


def test_it_is_usual_until_ten_are_dated_and_goes_by_their_years_then():
    for n in range(9):
        of_years(1871 + n, 1880 + n)
    assert catalogue_axis() == USUAL
    factories.find("no years")
    of_years(1950, None)  # no last year of its own
    assert catalogue_axis() == USUAL
    of_years(1921, 1924)
    assert catalogue_axis() == YearAxis(1870, 1930)


def test_the_bin_chooses_nothing():
    for n in range(10):
        of_years(1871 + n, 1880 + n)
    of_years(1650, 1651)
    assert catalogue_axis().first == 1650
    Specimen.objects.get(made_from=1650).put_in_bin()
    assert catalogue_axis().first == 1860  # four decades at least


def test_visitors_learn_nothing_of_what_is_hidden():
    for n in range(10):
        of_years(1871 + n, 1880 + n, shared=True)
    before = catalogue_axis(visitor=True)
    for _ in range(10):
        of_years(1650, 1651)
    assert catalogue_axis().first == 1650
    assert catalogue_axis(visitor=True) == before and not before.before


def test_it_takes_one_query_however_many_there_are(django_assert_num_queries):
    for n in range(12):
        of_years(1871 + n, 1880 + n)
    with django_assert_num_queries(1):
        catalogue_axis()


@pytest.mark.parametrize("visitor", [False, True])
def test_that_of_a_large_catalogue_is_asked_once_a_minute(visitor, monkeypatch, django_assert_num_queries):
    now = [100.0]
    monkeypatch.setattr(queries, "LARGE_CATALOGUE", 12)
    monkeypatch.setattr(queries, "_kept_axes", {})
    monkeypatch.setattr(queries, "monotonic", lambda: now[0])
    for n in range(12):
        of_years(1871 + n, 1880 + n, shared=True)
    first = catalogue_axis(visitor=visitor)
    of_years(1650, 1651, shared=True)
    with django_assert_num_queries(0):
        assert catalogue_axis(visitor=visitor) == first
    now[0] += 61
    assert catalogue_axis(visitor=visitor).first == 1650
