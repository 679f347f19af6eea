"""Searching and sorting the finds, and addresses that make no sense."""

from copy import deepcopy

import pytest

from catalogue.specimens.models import Specimen
from tests import factories

from .browse_parts import five_pieces, listed, said

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def made(module_rows) -> dict[str, Specimen]:
    return module_rows(five_pieces)


@pytest.fixture
def shelf(made, db) -> dict[str, Specimen]:
    return deepcopy(made)


@pytest.mark.parametrize(
    ("words", "name", "field", "marked"),
    [
        ("ginger", "Aqua ginger-beer bottle", "what it is", "ginger"),
        ("QUILL", "Aqua ginger-beer bottle", "lettering on the body", "QUILL"),
        ("brackwater", "Aqua ginger-beer bottle", "maker", "Brackwater"),
        ("inchgate", "Case gin", "town", "Inchgate"),
        ("whelk", "Plain flask", "notes", "whelk"),
        ("soaking", None, None, None),
    ],
)
def test_search_finds_and_says_why(owner_client, shelf, words, name, field, marked):
    answer = owner_client.get("/finds/", {"q": words})
    cards = answer.context["cards"]
    if name is None:
        assert not cards
        return
    assert [card.find.what for card in cards] == [name]
    hits = {hit.field: hit.text for hit in cards[0].hits}
    assert f"<mark>{marked}</mark>" in hits[field]
    assert f"<mark>{marked}</mark>" in answer.content.decode()


def test_search_by_number(owner_client, shelf):
    number = shelf["plain"].number
    answer = owner_client.get("/finds/", {"q": number})
    assert [card.find.number for card in answer.context["cards"]] == [number]
    assert answer.context["cards"][0].hits[0].field == "number"


def test_markup_in_names_and_in_the_search_stays_text(owner_client, shelf):
    factories.find("<b>Bold</b> & brash", notes="<script>alert(1)</script>")
    text = owner_client.get("/finds/", {"q": "<script>"}).content.decode()
    assert "<script>alert" not in text
    assert "&lt;<mark>script</mark>&gt;" in text
    assert "&lt;b&gt;Bold&lt;/b&gt; &amp; brash" in text


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("?sort=name", ["Aqua ginger-beer bottle", "Case gin", "Crown beer", "Ink cone", "Plain flask"]),
        ("?sort=-name", ["Plain flask", "Ink cone", "Crown beer", "Case gin", "Aqua ginger-beer bottle"]),
    ],
)
def test_sorted_by_name(owner_client, shelf, query, names):
    assert listed(owner_client, query) == names


def test_what_has_no_year_or_town_comes_last_either_way(owner_client, shelf):
    for query in ("?sort=made", "?sort=-made"):
        assert set(listed(owner_client, query)[-3:]) == {"Ink cone", "Plain flask", "Crown beer"}
    for query in ("?sort=town", "?sort=-town"):
        assert set(listed(owner_client, query)[-2:]) == {"Plain flask", "Crown beer"}
    assert listed(owner_client, "?sort=-town")[0] in {"Aqua ginger-beer bottle", "Ink cone"}


def test_the_last_changed_stands_first(owner_client, shelf):
    shelf["plain"].save(update_fields=["what"])
    assert listed(owner_client, "?sort=changed")[0] == "Plain flask"
    assert listed(owner_client, "?sort=-changed")[-1] == "Plain flask"


NONSENSE = [
    ("?town=atlantis", "atlantis"),
    ("?maker=%EF%BF%BD", "left out"),
    ("?stage=polished", "polished"),
    ("?decade=19x0", "19x0"),
    ("?decade=1935", "1935"),
    ("?site=%F0%9F%8D%BE", "left out"),
    ("?place=abc", "abc"),
    ("?place=99999999999999999999", "99999999999999999999"),
    ("?place=%C2%B2", "left out"),
    ("?picture=perhaps", "perhaps"),
    ("?sort=shine", "no such order"),
    ("?page=abc", "can't be read"),
    ("?page=0", "can't be read"),
    ("?page=-3", "can't be read"),
    ("?page=999999", "There is no page 999999"),
    ("?page=9999999999999999999999", "There is no page"),
    ("?q=" + "x" * 300, "can't be read"),
]


@pytest.mark.parametrize(("query", "word"), NONSENSE)
def test_nonsense_in_the_address_gives_a_page_that_says_so(owner_client, shelf, query, word):
    assert len(listed(owner_client, query)) == 5
    assert any(word in sentence for sentence in said(owner_client, query))


def test_known_choices_beside_unknown_ones_still_count(owner_client, shelf):
    assert listed(owner_client, "?town=inchgate&town=atlantis") == ["Case gin"]
