"""The published tables joined with one's own marks and codes: at once, and only what counts."""

import pytest

import dating
from catalogue.specimens.models import Maker, OwnCode, OwnMark
from catalogue.specimens.services.makers import keep_maker, put_maker_in_bin, take_maker_back
from catalogue.specimens.services.trade import keep_bottler
from catalogue.specimens.tables import current_reference
from tests import factories

pytestmark = pytest.mark.django_db


def test_without_own_marks_the_tables_are_the_published_ones():
    assert current_reference() is dating.reference()


def test_an_own_mark_and_its_code_join_at_once():
    maker = factories.brackwater()
    mark, code = maker.own_marks.get(), maker.own_codes.get()
    ref = current_reference()
    row = ref.marks[mark.key]
    assert (row.letters, row.symbol, row.maker, row.used_from, row.used_to) == (
        "BW", "wave", "Brackwater Bottle Company", 1922, 1950,
    )  # fmt: skip
    assert ref.date_codes[code.key].mark_ids == (mark.key,)
    assert set(dating.reference().marks) < set(ref.marks)
    assert ref.version != dating.reference().version


def test_the_same_tables_are_not_joined_twice():
    factories.brackwater()
    assert current_reference() is current_reference()


def test_a_code_may_be_bound_to_some_marks_only():
    maker = keep_maker(
        Maker(name="Tern & Hollis Glass Works"),
        marks=[OwnMark(letters="THQ"), OwnMark(letters="HTQ")],
        codes=[OwnCode(kind="last-digit")],
    )
    code, first = maker.own_codes.get(), maker.own_marks.first()
    assert len(current_reference().date_codes[code.key].mark_ids) == 2
    code.marks.add(first)
    keep_maker(maker, codes=[code])
    assert current_reference().date_codes[code.key].mark_ids == (first.key,)


def test_a_changed_year_a_renamed_maker_or_bottler_changes_the_tables():
    quill = factories.bottler()
    maker = factories.brackwater()
    code, mark = maker.own_codes.get(), maker.own_marks.get()
    code.bottler = quill
    keep_maker(maker, codes=[code])
    versions = [current_reference().version]
    mark.to_year = 1960
    keep_maker(maker, marks=[mark])
    versions.append(current_reference().version)
    maker.name = "Brackwater Glass"
    keep_maker(maker)
    versions.append(current_reference().version)
    quill.name = "Quill Brothers"
    keep_bottler(quill, ["name"])
    versions.append(current_reference().version)
    assert len(set(versions)) == 4
    assert current_reference().date_codes[code.key].bottler == "Quill Brothers"
    assert current_reference().marks[mark.key].maker == "Brackwater Glass"


def test_what_lies_in_the_bin_does_not_count():
    maker = factories.brackwater()
    key = maker.own_marks.get().key
    put_maker_in_bin(maker)
    assert key not in current_reference().marks
    take_maker_back(maker)
    assert key in current_reference().marks


def test_a_maker_without_marks_brings_no_codes():
    keep_maker(Maker(name="Orlick Flint Glass"), codes=[OwnCode(kind="other", note="nothing known")])
    assert current_reference().version == dating.reference().version


def test_asking_whether_anything_changed_takes_four_small_queries(django_assert_num_queries):
    factories.brackwater()
    current_reference()
    with django_assert_num_queries(4):
        current_reference()
