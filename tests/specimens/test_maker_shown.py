"""The maker a find shows: the opinion, else a mark with at least an even chance, worded "likely"."""

import pytest

import dating
from catalogue.specimens.models import KnownYears, Maker, MarkReading, OwnMark
from catalogue.specimens.reference_makers import bring_in_reference_makers
from catalogue.specimens.services import Parts
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.tables import maker_of, reference_key
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_likely_mark_shows_its_maker_with_the_chance():
    maker = factories.brackwater()
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol="wave", frame="none")]))
    assert (find.maker, find.maker_how) == (maker, "likely")
    assert 0.5 <= find.maker_probability < 1


def test_a_published_mark_shows_the_published_maker():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="LG", right="69")]))
    mark = dating.reference().marks["liberty-lg"]
    assert find.maker.reference_key == reference_key(mark.maker, mark.place)
    assert find.made_words == "probably 1969"


def test_one_letter_that_many_share_shows_nobody():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="B")]))
    assert find.maker is None and find.maker_how == "" and find.maker_probability is None


def test_a_mark_that_the_rest_speaks_against_names_no_maker():
    factories.brackwater()
    parts = Parts(
        readings=[MarkReading(letters="BW", symbol="wave", frame="none", right="6")],
        known=[KnownYears(what="Cellar filled in", to_year=1850, source="the yard's own plan")],
    )
    find = factories.find(parts=parts)
    assert find.made_words == "the evidence disagrees"
    assert (find.maker, find.maker_how, find.maker_probability) == (None, "", None)


def test_nothing_read_shows_nobody():
    factories.brackwater()
    assert factories.find().maker is None


def test_variants_of_one_maker_count_together():
    maker = keep_maker(
        Maker(name="Tern & Hollis Glass Works"),
        marks=[OwnMark(letters="THQ", frame="hexagon"), OwnMark(letters="THQ", frame="square")],
    )
    find = factories.find(parts=Parts(readings=[MarkReading(letters="THQ")]))
    assert find.maker == maker and find.maker_probability > 0.5


def test_own_and_published_marks_lead_to_their_makers():
    maker = factories.brackwater()
    assert maker_of(maker.own_marks.get().key) == maker
    assert maker_of("own-999999") is None and maker_of("never-heard-of") is None


def test_every_published_maker_came_in_once_and_stays_as_noted():
    keys = {reference_key(m.maker, m.place) for m in dating.reference().marks.values()}
    assert set(Maker.objects.published().values_list("reference_key", flat=True)) == keys
    noted = Maker.objects.published().first()
    noted.notes = "seen on the old pier"
    noted.save()
    assert bring_in_reference_makers() == 0
    noted.refresh_from_db()
    assert noted.notes == "seen on the old pier"


def test_a_published_maker_that_went_missing_comes_back():
    gone = Maker.objects.published().first()
    key = gone.reference_key
    gone.delete()
    assert bring_in_reference_makers() == 1
    assert Maker.objects.get(reference_key=key)
