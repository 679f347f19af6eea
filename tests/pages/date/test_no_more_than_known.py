"""What the page says of years is no surer than they are, says nothing twice, and names what it left out."""

import re

import pytest

from catalogue.specimens.reading.value import LONGEST_LETTERS

pytestmark = pytest.mark.django_db
CONTRADICTED = "letters=W T %26 CO&f=machine-narrow-neck&region=US"


def answer(client, query: str) -> str:
    """The live answer as the page writes it."""
    got = client.get(f"/date/?{query}", HTTP_HX_REQUEST="true")
    assert got.status_code == 200
    return got.content.decode()


def test_beside_evidence_that_disagrees_nothing_is_sure_and_nothing_settled(owner_client):
    text = answer(owner_client, CONTRADICTED)
    assert "the evidence disagrees" in text
    assert "% sure:" not in text and "settles most of it" not in text
    assert "counts for much" in text


def test_what_clashes_is_named_once_with_its_years(owner_client):
    text = answer(owner_client, CONTRADICTED)
    clash = re.search(r"<li><b>(.*?)</li>", text, re.S)[1]
    assert clash.count("narrow-neck bottle") == 1
    assert clash.count("W T &amp; CO") == 1 and "&amp;amp;" not in text
    assert "1905 on and 1863–1901: no year fits both" in clash


def test_years_that_are_not_stated_are_not_ninety_per_cent_sure(owner_client):
    undated = answer(owner_client, "f=crown-finish&doubt=crown-finish")
    assert "not yet dated" in undated and "% sure:" not in undated
    assert "90 % sure:" in answer(owner_client, "f=applied-finish&region=US")


def test_a_reason_that_stands_alone_agrees_with_nothing(owner_client):
    text = answer(owner_client, "letters=QZXJ")
    assert "says nothing of the years" in text and "agrees with the rest" not in text


def test_the_age_is_as_doubtful_as_the_years(owner_client):
    text = answer(owner_client, "letters=SK[..]AY&right=54")
    assert re.search(r"probably about \d+ to \d+<", text)
    assert re.search(r"<span>probably about \d+ to \d+ years old", text)


def test_a_source_of_several_makers_is_named_once(owner_client):
    text = answer(owner_client, "letters=SK[..]AY&right=54")
    sources = re.findall(r'<span class="src">(.*?)</span>', text, re.S)[0]
    assert sources.count("Kerr Glass Manufacturing Corporation") == 1


def test_nobody_is_asked_whose_mark_a_town_or_an_unknown_mark_is(owner_client):
    for letters in ("SAN FRANCISCO", "QZXJ"):
        assert "Whose mark" not in answer(owner_client, f"letters={letters}")
    assert "Whose mark" in answer(owner_client, "letters=LBC&right=4")


def test_no_two_looks_are_told_alike(owner_client):
    text = answer(owner_client, "letters=LBC&right=4")
    looks = re.findall(r"<li>(Look[^<]*)<", text)
    assert len(looks) > 1 and len(set(looks)) == len(looks)


def test_a_country_and_contents_are_said_in_words(owner_client):
    text = answer(owner_client, "region=US&contents=other")
    assert "made or sold in: United States" in text
    assert "held ink, scent, household or other" in text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("region=ZZ", "Made or sold in: “ZZ” is not known. Choose one of the list."),
        ("contents=moonbeams", "It held: “moonbeams” is not known. Choose one of the list."),
        (
            f"letters={'A' * 200}",
            f"200 are too many for a mark; the first {LONGEST_LETTERS} were taken.",
        ),
    ],
)
def test_what_could_not_be_taken_is_told_by_its_field(owner_client, query, words):
    assert words in answer(owner_client, query)


@pytest.mark.parametrize(
    "query", ["letters=[..]", "letters=????", "letters=..&right=..", "letters=%3F%3F%3F%3F"]
)
def test_gaps_alone_date_nothing(owner_client, query):
    assert "not yet dated" in answer(owner_client, query)
