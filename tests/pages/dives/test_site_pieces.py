"""A site's pieces, oldest first, under the catalogue's axis and their sum on it."""

import pytest

from catalogue.specimens.models import KnownYears
from catalogue.specimens.services import Parts
from tests import factories
from tests.common.svg import of_class, parsed

pytestmark = pytest.mark.django_db


def of_years(first, last, dive):
    known = KnownYears(what="a law", from_year=first, to_year=last, certainty="certain")
    return factories.find(f"Bottle of {first}", Parts(known=[known]), dive=dive)


def test_they_stand_by_year_under_one_axis(owner_client):
    dive = factories.dive()
    for first in (1921, 1871, 1901):
        of_years(first, first + 9, dive)
    factories.find("no years", dive=dive)
    answer = owner_client.get(dive.site.get_absolute_url())
    series = answer.context["series"]
    assert [card.find.what for card in series.cards][:3] == [f"Bottle of {y}" for y in (1871, 1901, 1921)]
    assert series.count == 4 and "the years of 4 pieces added up" in series.ruler
    page = answer.content.decode()
    assert page.count("series-axis") == 1 and page.count("ruler-labels") == 1
    assert page.count("ruler-band") == 4  # three pieces and their sum; nothing for what is not dated
    assert page.count("years-how") == 1


def test_the_sum_and_the_rows_have_the_same_years_at_the_same_place(owner_client):
    dive = factories.dive()
    of_years(1871, 1880, dive)
    of_years(1871, 1880, dive)
    series = owner_client.get(dive.site.get_absolute_url()).context["series"]
    bands = [
        of_class(parsed(each), "rule-band")[0].get("d") for each in (series.ruler, series.cards[0].ruler)
    ]
    assert bands[0] == bands[1]


def test_nothing_dated_has_no_ruler(owner_client):
    dive = factories.dive()
    factories.find("no years", dive=dive)
    factories.find("none either", dive=dive)
    assert 'class="ruler' not in owner_client.get(dive.site.get_absolute_url()).content.decode()
