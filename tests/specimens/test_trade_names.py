"""Which bottler is meant by a name that several may bear: never one of them unasked."""

import pytest

from catalogue.specimens.models import Bottler
from catalogue.specimens.services.trade import SeveralOfThatName, bottler_meant, told_apart
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def namesakes(db) -> list[Bottler]:
    """One name in two towns of one name, and one without a town whose own name holds a comma."""
    north = factories.town("Marrowby", region="North")
    south = factories.town("Marrowby", region="South")
    return [
        factories.bottler("Quill", town=north),
        factories.bottler("Quill", town=south),
        factories.bottler("Orr, Hale & Co."),
    ]


@pytest.mark.parametrize("text", ["Quill", "quill, marrowby", "QUILL"])
def test_of_several_none_is_chosen_and_each_is_named(namesakes, text):
    with pytest.raises(SeveralOfThatName, match="Quill, Marrowby, North; Quill, Marrowby, South"):
        bottler_meant(text)
    assert Bottler.objects.count() == 3


def test_each_is_read_back_by_what_tells_it_apart(namesakes):
    for bottler in namesakes:
        assert bottler_meant(told_apart(bottler).upper()) == bottler


def test_the_bare_name_is_the_one_without_a_town_where_there_is_one(namesakes):
    bare = factories.bottler("Quill")
    assert bottler_meant(" Quill ") == bare
    assert bottler_meant("Quill, Marrowby, South") == namesakes[1]


def test_a_name_that_nobody_bears_is_made_once(namesakes):
    made = bottler_meant("Abel  Orr, Inchgate")
    assert made is not None and (made.name, made.town) == ("Abel Orr, Inchgate", None)
    assert bottler_meant("abel orr, inchgate") == made
    assert bottler_meant("   ") is None
