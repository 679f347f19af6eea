"""Words of an inscription that tell more than a name."""

import pytest

from dating import Reference, ReferenceError, phrases_in
from dating.inscription import known_phrases, load_phrases, words_of

SPIRITS_LAW = "a law on spirits bottles is named"
HEAD = "words,says,language,region,feature,source,basis\n"


@pytest.mark.parametrize(
    ("text", "says", "region", "feature"),
    [
        ("FEDERAL LAW FORBIDS SALE / OR RE-USE OF THIS BOTTLE", SPIRITS_LAW, "US", "federal-law-forbids"),
        ("Rd. No. 482 113", "a registered design", "UK", "uk-rd-number"),
        ("CONTENTS 7 FLUID OZS.", "its contents are stated", "", "contents-statement"),
        ("14 MOLE STREET / OH 44107", "a ZIP code after a two-letter state", "US", "zip-code"),
        ("DÉPOSÉ", "registered", "", ""),
        ("Ges. gesch.", "protected by law", "DE", ""),
        ("GESETZLICH GESCHÜTZT", "protected by law", "DE", ""),
        ("HECHO EN MÉXICO", "made in Mexico", "", ""),
        ("D.R.G.M. 127434", "a German registered design", "DE", "drgm-de"),
        ("TILHØRER STORMVIK BRYGGERI", "belongs to", "", ""),
        ("4/5 QUART", "a customary liquor size", "US", "fifth-4-5-quart"),
    ],
)
def test_it_is_told(text: str, says: str, region: str, feature: str) -> None:
    (phrase,) = phrases_in(text)
    assert (phrase.says, phrase.region, phrase.feature) == (says, region, feature)


@pytest.mark.parametrize(
    "text", ["", "QUILL & SONS / MARROWBY", "SOLD", "CONTENTS", "OH 4410", "RD NO", "7 OZ"]
)
def test_a_name_or_half_a_phrase_tells_nothing(text: str) -> None:
    assert phrases_in(text) == ()


def test_the_longest_wins_and_others_beside_it_are_told_too() -> None:
    found = phrases_in("TRADE MARK REGISTERED / MADE IN ENGLAND / NO DEPOSIT NO RETURN")
    assert [p.words for p in found] == ["NO DEPOSIT NO RETURN", "TRADE MARK REGISTERED", "MADE IN ENGLAND"]


def test_words_are_compared_as_raised_letters_are() -> None:
    assert words_of("Ges. gesch. – Groß 3½") == ["GES", "GESCH", "GROSS", "31", "2"]


def test_each_row_says_what_it_rests_on_and_points_to_what_is_there(ref: Reference) -> None:
    for phrase in known_phrases():
        assert phrase.source and phrase.basis in ("published", "memory")
        feature = ref.features.get(phrase.feature)
        assert not feature or (phrase.source, phrase.basis) == (feature.source, feature.basis), phrase.words
        assert not phrase.feature or phrase.feature in ref.features
        assert not phrase.region or phrase.region in ref.regions


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("MADE IN USA,made there,English,US,,,memory", "source"),
        ("MADE IN USA,made there,English,US,no-such-feature,compiler-memory,memory", "feature"),
        (",made there,English,US,,compiler-memory,memory", "words"),
        ("MADE IN USA,made there,English,US,,compiler-memory,hearsay", "basis"),
        ("MADE IN USA,made there,English,US,,plain words,memory", "source"),
    ],
)
def test_a_row_that_may_not_be_used_is_refused(row: str, field: str, ref: Reference) -> None:
    with pytest.raises(ReferenceError) as refused:
        load_phrases(HEAD + row + "\n", ref)
    assert refused.value.field == field
