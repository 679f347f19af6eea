"""What is written on labels of groups, boxes and places, from the catalogue."""

import pytest

from catalogue.labels.label_text import LABEL_KINDS
from catalogue.labels.texts_of import (
    GROUPINGS,
    list_of_finds,
    texts_of_finds,
    texts_of_groups,
    texts_of_places,
)
from catalogue.specimens.models import Specimen
from tests import factories
from tests.care.makers import crusted

pytestmark = pytest.mark.django_db
BASE = "http://box.local"


def dated(find: Specimen, first: int | None, last: int | None, words: str) -> Specimen:
    Specimen.objects.filter(pk=find.pk).update(made_from=first, made_to=last, made_words=words)
    return find


def sealed(**given) -> Specimen:
    find = crusted("Sealed soda bottle", **given)
    find.checks.create(found=["sealed"])
    return find


def test_a_heading_tells_years_no_surer_than_its_pieces_are():
    town = factories.town()
    finds = [factories.find(f"bottle {n}", town=town) for n in range(2)]
    keys = [find.pk for find in finds]
    dated(finds[0], 1890, 1900, "about 1890 to 1900")
    assert texts_of_groups(keys, GROUPINGS["town"])[0].made_words == "about 1890 to 1900 (1 of 2 dated)"
    dated(finds[1], 1895, 1912, "probably about 1895 to 1912")
    (text,) = texts_of_groups(keys, GROUPINGS["town"])
    assert text.made_words == "probably about 1890 to 1912"
    assert (text.title, text.count, text.note) == (str(town), "2 pieces", "")
    dated(finds[1], None, 1912, "before 1913")
    dated(finds[0], None, None, "not yet dated")
    assert texts_of_groups(keys, GROUPINGS["town"])[0].made_words == ""


def test_pieces_of_no_group_have_no_heading_and_groups_come_as_they_are_met():
    ellarn, marrowby = factories.town("Ellarn"), factories.town("Marrowby")
    finds = [factories.find("a", town=marrowby), factories.find("b"), factories.find("c", town=ellarn)]
    texts = texts_of_groups([find.pk for find in finds], GROUPINGS["town"])
    assert [text.title for text in texts] == [str(marrowby), str(ellarn)]
    assert texts_of_groups([find.pk for find in finds], GROUPINGS["alike"]) == []


def test_a_hazard_of_a_piece_stands_on_every_label_that_it_bears_on():
    place = factories.place("Crate")
    find = sealed(place=place, town=factories.town())
    factories.find("Ink cone", place=place, town=find.town)
    keys = list(Specimen.objects.values_list("pk", flat=True))
    (note,) = {text.note for text in texts_of_finds([find.pk], BASE, LABEL_KINDS["shelf"])}
    assert note.startswith("Careful: ")
    assert texts_of_groups(keys, GROUPINGS["town"])[0].note == note
    assert texts_of_places([place], BASE)[0].note == note
    assert [row.note for row in list_of_finds([find.pk], title="Crate").rows] == [note]


def test_a_piece_says_where_it_stands_and_its_ruler_and_picture_come_where_they_are_asked_for():
    shelf = factories.place("third shelf", factories.place("Hall case"))
    find = dated(factories.find("Ink cone", place=shelf), 1890, 1900, "about 1890 to 1900")
    (text,) = texts_of_finds([find.pk], BASE, LABEL_KINDS["shelf"])
    assert text.kept_at == "Hall case, third shelf" and text.ruler is None
    (text,) = texts_of_finds([find.pk], BASE, LABEL_KINDS["card"])
    assert text.ruler and text.ruler.window == (1890, 1900) and text.picture is None


def test_many_texts_take_few_queries(django_assert_max_num_queries):
    keys = [factories.find(f"bottle {n}", town=None).pk for n in range(40)]
    with django_assert_max_num_queries(8):
        texts = texts_of_finds(keys, BASE, LABEL_KINDS["card"])
    assert [text.number for text in texts] == list(
        Specimen.objects.order_by("pk").values_list("number", flat=True)
    )
