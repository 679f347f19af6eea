"""Stored answers follow evidence, makers and tables; dating many is like dating each."""

import pytest

import dating
from catalogue.specimens.derived.listening import NO_MAKER
from catalogue.specimens.derived.redating import redate_all
from catalogue.specimens.derived.writer import STORED, redate
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    ObservedFeature,
    OwnCode,
    OwnMark,
    Specimen,
)
from catalogue.specimens.services import Parts, date_evidence, keep_find
from catalogue.specimens.services.makers import keep_maker
from tests import factories

pytestmark = pytest.mark.django_db


def stored(find: Specimen) -> dict:
    fresh = Specimen.everything.get(pk=find.pk)
    return {name: getattr(fresh, name) for name in STORED}


def test_each_piece_of_evidence_moves_the_stored_window():
    find = factories.find()
    assert stored(find)["made_words"] == "not yet dated" and stored(find)["made_ruler"]["curve"] == []
    keep_find(find, Parts(readings=[MarkReading(letters="LG", right="69")]))
    assert (stored(find)["made_from"], stored(find)["made_to"], stored(find)["made_edtf"]) == (
        1969,
        1969,
        "1969?",
    )
    assert stored(find)["made_decades"] == "|1960|"
    keep_find(find, Parts(readings=[]))
    assert stored(find)["made_words"] == "not yet dated" and stored(find)["maker"] is None
    keep_find(find, Parts(known=[KnownYears(what="town directory", from_year=1884, to_year=1890)]))
    assert stored(find)["made_words"] == "about 1884 to 1890"
    assert stored(find)["made_decades"] == "|1880|1890|"


def test_an_open_window_still_has_a_curve_and_decades():
    find = factories.find(parts=Parts(known=[KnownYears(what="label law", from_year=1964)]))
    answer = stored(find)
    assert answer["made_words"] == "1964 or later" and answer["made_to"] is None
    assert answer["made_ruler"]["curve"]
    assert "|1960|" in answer["made_decades"] and "|1950|" not in answer["made_decades"]


def test_candidate_years_are_kept_for_the_ruler():
    factories.brackwater()
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")]))
    assert stored(find)["made_ruler"]["years"] == [1926, 1936, 1946]
    assert stored(find)["made_decades"] == "|1920|1930|1940|"


def test_evidence_that_disagrees_keeps_its_likely_years():
    known = [KnownYears(what="a", to_year=1850), KnownYears(what="b", from_year=1950)]
    answer = stored(factories.find(parts=Parts(known=known)))
    assert answer["made_words"] == "the evidence disagrees"
    assert answer["made_from"] is None and answer["made_to"] is None
    assert answer["made_ruler"]["curve"] and answer["made_decades"]


def test_a_colour_and_a_fired_label_count_without_being_asked_twice():
    olive = factories.find(colour="olive")
    assert stored(olive)["made_ruler"]["curve"]
    fired = factories.find(parts=Parts(inscriptions=[Inscription(text="ORMER", how="fired")]))
    asked = factories.find(parts=Parts(features=[ObservedFeature(feature="acl")]))
    assert stored(fired)["made_words"] == stored(asked)["made_words"] != "not yet dated"


def test_a_maker_added_later_dates_what_lies_on_the_shelf():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol=None, right="6")]))
    assert stored(find)["maker"] is None
    maker = factories.brackwater()
    assert stored(find)["maker"] == maker
    assert maker.rephrased == 1


def test_a_changed_code_is_followed_and_counted():
    maker = factories.brackwater()
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")]))
    factories.find("beside it", Parts(readings=[MarkReading(letters="LG", right="69")]))
    code = maker.own_codes.get()
    code.valid_to = 1930
    assert keep_maker(maker, codes=[code]).rephrased == 1
    assert stored(find)["made_words"] == "1926"


def test_dating_many_is_dating_each():
    factories.brackwater()
    finds = [
        factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")])),
        factories.find(parts=Parts(features=[ObservedFeature(feature="crown-finish")]), colour="amber"),
        factories.find(),
    ]
    before = [stored(find) for find in finds]
    Specimen.everything.update(made_words="stale", made_from=None, made_to=None, made_ruler={}, **NO_MAKER)
    lines = Specimen.history.count()
    assert [p.done for p in redate_all(Specimen.everything.all(), batch=2)] == [2, 3]
    assert [stored(find) for find in finds] == before
    assert Specimen.history.count() == lines


def test_dating_many_asks_the_same_however_many(django_assert_max_num_queries):
    for _ in range(6):
        factories.find(parts=Parts(features=[ObservedFeature(feature="crown-finish")]))
    # The stamp (4), the keys, the finds with what is joined, their five kinds of parts, the makers of
    # opinions where there are any, one write in its transaction (2 more).
    with django_assert_max_num_queries(15):
        list(redate_all(Specimen.everything.all()))


def test_what_is_shown_live_is_what_is_stored():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="LG", right="69")]))
    live = date_evidence(evidence_of(find))
    assert live.words == stored(find)["made_words"] and live.because


def test_words_that_the_tables_no_longer_have_count_as_not_looked_at():
    find = factories.find(
        parts=Parts(
            readings=[
                MarkReading(letters="LG", symbol="comet", frame="heptagon", arrangement="spiral", right="69")
            ],
            features=[ObservedFeature(feature="a-lip-nobody-knows")],
        )
    )
    assert stored(find)["made_words"] == "probably 1969"
    assert find.readings.get().symbol == "comet"


def test_a_find_in_the_bin_is_dated_along():
    find = factories.find(parts=Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")]))
    find.put_in_bin()
    factories.brackwater()
    assert stored(find)["made_words"] == "one of 1926, 1936, 1946"


def test_the_reference_and_the_year_used_are_written_down():
    answer = stored(redate(factories.find()))
    assert answer["made_with"] == dating.reference().version
    assert answer["made_in"] >= 2024


def test_a_mark_that_cannot_join_the_tables_leaves_nothing_behind():
    with pytest.raises(dating.ReferenceError):
        keep_maker(
            Maker(name="Bad list"),
            marks=[OwnMark(letters="QX")],
            codes=[OwnCode(kind="letter-table", table="half typed")],
        )
    assert not Maker.objects.own().exists() and not OwnMark.objects.exists() and not OwnCode.objects.exists()
