"""The years on the slip that goes with a piece: the phrase of its page, with its doubt."""

import pytest

from catalogue.giving.slip import slip_words
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("phrase", "line"),
    [
        ("about 1870 to 1890", "Made: about 1870 to 1890"),
        ("probably 1936", "Made: probably 1936"),
        (
            "not dated by this mark; if it is Skerry Works: 1919–1922",
            "Not dated by this mark; if it is Skerry Works: 1919–1922",
        ),
        ("not yet dated", ""),
        ("", ""),
    ],
)
def test_the_slip_says_no_more_of_the_years_than_its_page(phrase, line):
    find = factories.find()
    find.made_words = phrase
    assert slip_words(find)["made_words"] == line
