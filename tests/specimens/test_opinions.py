"""Opinions: one current of each kind, the earlier ones stay, and each bears on what it should."""

import datetime

import pytest
from django.db import IntegrityError, transaction

from catalogue.specimens.models import Maker, MarkReading, Opinion, OwnMark, Specimen
from catalogue.specimens.services import Parts, give_opinion, withdraw_opinion
from catalogue.specimens.services.makers import keep_maker
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db
DAY = datetime.date(2024, 7, 1)


def think(find: Specimen, about: str, value: str, **more) -> Opinion:
    return give_opinion(Opinion(find=find, about=about, value=value, on=DAY, **more))


def test_the_newest_is_current_and_earlier_ones_stay():
    find = factories.find()
    think(find, "made", "1920s")
    think(find, "made", "1930s")
    assert [(o.value, o.current) for o in find.opinions.order_by("pk")] == [("1920s", False), ("1930s", True)]


def test_kinds_of_opinion_do_not_disturb_each_other():
    find = factories.find()
    think(find, "made", "1920s")
    think(find, "bottler", "Quill & Sons")
    assert find.opinions.filter(current=True).count() == 2


def test_the_store_itself_refuses_two_current_ones():
    find = factories.find()
    think(find, "made", "1920s")
    with pytest.raises(IntegrityError), transaction.atomic():
        Opinion.objects.create(find=find, about="made", value="1950s", on=DAY, current=True)


def test_an_opinion_on_the_maker_is_shown_and_withdrawn_again():
    find, maker = factories.find(), factories.brackwater()
    opinion = think(find, "maker", maker.name, maker=maker)
    find.refresh_from_db()
    assert (find.maker, find.maker_how, find.maker_probability) == (maker, "opinion", None)
    assert found("brackwater") == [find.what]
    withdraw_opinion(opinion)
    find.refresh_from_db()
    assert find.maker is None and not find.opinions.get().current
    # what was thought once stays findable: the opinion is still on record
    assert found("brackwater") == [find.what]


def test_an_opinion_on_the_maker_restricts_the_candidates_of_a_reading():
    bw = factories.brackwater()
    other = keep_maker(
        Maker(name="Barrow & Wick"), marks=[OwnMark(letters="BW", from_year=1860, to_year=1880)]
    )
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", right="6")]))
    before = find.made_words
    think(find, "maker", bw.name, maker=bw)
    find.refresh_from_db()
    assert find.made_words == "one of 1926, 1936, 1946" != before
    think(find, "maker", other.name, maker=other)
    find.refresh_from_db()
    assert find.made_words == "about 1860 to 1880"


def test_an_opinion_on_when_it_was_made_never_feeds_the_computed_window():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="LG", right="69")]))
    stored = (find.made_words, find.made_from, find.made_to, find.made_ruler)
    think(find, "made", "surely 1790")
    find.refresh_from_db()
    assert (find.made_words, find.made_from, find.made_to, find.made_ruler) == stored


def test_without_a_reading_the_makers_years_in_business_are_evidence():
    maker = keep_maker(Maker(name="Orlick Flint Glass", from_year=1871, to_year=1889))
    find = factories.find()
    assert find.made_words == "not yet dated"
    think(find, "maker", maker.name, maker=maker)
    find.refresh_from_db()
    assert find.made_words == "probably about 1871 to 1889"
