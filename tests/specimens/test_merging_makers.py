"""Merging makers: marks, codes, works and opinions move along; published ones are never merged away."""

from collections import Counter

import pytest

from catalogue.common.merged import merged_into
from catalogue.specimens.models import Maker, MarkReading, OwnCode, OwnMark, Specimen, Works
from catalogue.specimens.services import Parts
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.merging import MergeError, merge_records, part_records, what_moves
from catalogue.specimens.tables import current_reference, reference_key
from tests import factories
from tests.specimens.derived_parts import agree, found

pytestmark = pytest.mark.django_db


@pytest.fixture
def brackwater() -> Maker:
    return factories.brackwater()


@pytest.fixture
def spelled_otherwise() -> Maker:
    return keep_maker(
        Maker(name="BRACKWATER BOTTLE CO", from_year=1918, to_year=1950),
        works=[Works(name="Ellarn works")],
        marks=[OwnMark(letters="BWB", symbol="", from_year=1930, to_year=1940)],
        codes=[OwnCode(kind="last-digit", position="left", valid_from=1930, valid_to=1940)],
    )


def piece(letters: str = "BWB", **given: object) -> Specimen:
    parts = Parts(readings=[MarkReading(letters=letters, left="6")])
    find = factories.find(what="Soda", parts=parts, **given)
    find.refresh_from_db()
    return find


def test_marks_codes_works_and_pieces_follow_and_go_back(brackwater, spelled_otherwise):
    find = piece()
    assert find.maker == spelled_otherwise and find.made_best == 1936
    moving = dict(what_moves(brackwater, spelled_otherwise))
    assert moving["find"] == moving["works"] == moving["own mark"] == moving["own code"] == 1
    made = merge_records(brackwater, spelled_otherwise)
    find.refresh_from_db()
    assert (find.maker, find.made_best) == (brackwater, 1936) and agree()
    assert {mark.letters for mark in brackwater.own_marks.all()} == {"BW", "BWB"}
    assert found("brackwater bottle company") == ["Soda"] and found("brackwater bottle co") == ["Soda"]
    assert {mark.maker for mark in current_reference().marks.values() if mark.id.startswith("own-")} == {
        brackwater.name
    }
    part_records(made)
    find.refresh_from_db()
    assert (find.maker, find.made_best) == (spelled_otherwise, 1936) and agree()
    assert spelled_otherwise.works.count() == spelled_otherwise.own_codes.count() == 1


def test_an_opinion_follows(brackwater, spelled_otherwise):
    find = factories.find()
    find.opinions.create(
        about="maker", value=spelled_otherwise.name, maker=spelled_otherwise, on="2024-05-01"
    )
    made = merge_records(brackwater, spelled_otherwise)
    find.refresh_from_db()
    assert (find.maker, find.maker_how) == (brackwater, "opinion") and agree()
    assert find.opinions.get().maker == brackwater
    # The years in business that the one kept had not on record came along.
    assert (find.made_from, find.made_to) == (1918, 1950)
    part_records(made)
    find.refresh_from_db()
    assert find.maker == spelled_otherwise and agree()


def test_ones_own_is_merged_into_a_published_one_whose_years_gain_its_marks(spelled_otherwise):
    published = Maker.objects.published().order_by("pk").first()
    assert published is not None
    find = piece()
    made = merge_records(published, spelled_otherwise)
    find.refresh_from_db()
    assert find.maker == published and agree()
    mark = next(m for m in current_reference().marks.values() if m.letters == "BWB")
    assert (mark.maker, mark.used_from, mark.used_to) == (published.name, 1930, 1940)
    published.refresh_from_db()
    assert published.reference_key and merged_into(spelled_otherwise) == published
    part_records(made)
    find.refresh_from_db()
    assert find.maker == spelled_otherwise and agree()


def test_a_mark_that_the_tables_have_too_takes_nothing_from_its_maker():
    """The same mark, once published and once one's own of the same maker, is told as one maker's."""
    letters = Counter(mark.letters for mark in current_reference().marks.values())
    mark = next(
        mark
        for mark in current_reference().marks.values()
        if len(mark.letters) > 3 and letters[mark.letters] == 1 and mark.used_from and mark.used_to
    )
    published = Maker.objects.published().get(reference_key=reference_key(mark.maker, mark.place))
    find = factories.find(parts=Parts(readings=[MarkReading(letters=mark.letters)]))
    find.refresh_from_db()
    before = find.maker_probability
    assert find.maker == published and before is not None
    own = keep_maker(
        Maker(name="A second entry"),
        marks=[OwnMark(letters=mark.letters, from_year=mark.used_from, to_year=mark.used_to)],
    )
    merge_records(published, own)
    find.refresh_from_db()
    assert find.maker == published and find.maker_probability >= before
    assert find.made_from <= mark.used_from and find.made_to >= mark.used_to


def test_a_published_one_is_never_merged_away(brackwater):
    published = Maker.objects.published().order_by("pk").first()
    with pytest.raises(MergeError, match="merge one of your own into it"):
        merge_records(brackwater, published)
    assert Maker.objects.filter(pk=published.pk).exists()


def test_one_that_took_over_from_the_other_would_follow_itself(brackwater, spelled_otherwise):
    between = Maker.objects.create(name="Ninestone", slug="ninestone", followed=spelled_otherwise)
    Maker.objects.filter(pk=brackwater.pk).update(followed=between)
    brackwater.refresh_from_db()
    with pytest.raises(MergeError, match="follow itself"):
        merge_records(brackwater, spelled_otherwise)
    # The other way round the one in between follows the one kept.
    merge_records(spelled_otherwise, brackwater)
    between.refresh_from_db()
    assert between.followed == spelled_otherwise


def test_works_of_one_name_become_one(brackwater, spelled_otherwise):
    mine = Works.objects.create(maker=brackwater, name="Ellarn works")
    its = spelled_otherwise.works.get()
    code = OwnCode.objects.create(maker=spelled_otherwise, kind="works-table", works=its, table="A=1921")
    made = merge_records(brackwater, spelled_otherwise)
    code.refresh_from_db()
    assert code.works == mine and list(brackwater.works.filter(binned_at=None)) == [mine]
    part_records(made)
    code.refresh_from_db()
    assert code.works == its and spelled_otherwise.works.filter(binned_at=None).count() == 1
