"""The ruler of a find's page: nothing marked where years are level, opened where they lie beyond the axis."""

import pytest

from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


def of_years(first: int, last: int) -> Specimen:
    known = KnownYears(what="a law", from_year=first, to_year=last, certainty="certain")
    return factories.find("Bottle", Parts(known=[known]))


def test_a_find_of_level_years_has_no_best_one(owner_client) -> None:
    page = owner_client.get(of_years(1871, 1890).get_absolute_url()).content.decode()
    assert "ruler-large" in page and "rule-band" in page
    assert "ruler-above" not in page and "most likely" not in page


def test_candidate_years_are_named_above_their_strokes(owner_client) -> None:
    factories.brackwater()
    find = factories.find("Bottle", Parts(readings=[factories.reading("BW", symbol="wave", right="6")]))
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert "ruler-above" in page and page.count("rule-tick") >= 3


def test_the_large_ruler_opens_for_older_years_than_the_axis(owner_client) -> None:
    for n in range(60):
        of_years(1871 + n % 40, 1880 + n % 40)
    old = of_years(1651, 1660)
    answer = owner_client.get(old.get_absolute_url())
    ruler = answer.context["dated"].ruler
    assert ">1650<" in ruler and "rule-broken" not in ruler
    card = owner_client.get("/finds/").context["cards"][0]
    assert card.find == old and ">1650<" not in card.ruler and "rule-broken" in card.ruler
