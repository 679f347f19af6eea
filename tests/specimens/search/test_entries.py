"""What search reads about a find, and that it keeps up."""

import pytest

from catalogue.specimens.derived.entries import write_entries
from catalogue.specimens.models import Inscription, MarkReading, SearchEntry, Specimen
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.search.understanding import finds_with, understand
from catalogue.specimens.services import Parts, keep_find, move_to
from tests import factories

pytestmark = pytest.mark.django_db


def found(words: str) -> list[str]:
    return [find.what for find in Specimen.objects.filter(finds_with(understand(words)))]


def test_everything_typed_is_found():
    town = factories.town("Marrowby")
    factories.find(
        "Ginger beer",
        Parts(
            inscriptions=[Inscription(text="QUILL & / SONS [..]")],
            readings=[MarkReading(letters="ZQX")],
        ),
        town=town,
        bottler=factories.bottler("Ormer Waters"),
        notes="beside a whelk pot",
        story="Three summers later",
        field_tag="K17",
        older_numbers="box 9",
        found_with="a clay pipe",
        where_on_site="under the third pile",
        site=factories.site("Tallow Cove"),
        place=factories.place("Hall case"),
        colour="cobalt",
        kind="soda",
    )
    factories.find("Another")
    for words in (
        "ginger", "quill & sons", "zqx", "marrowby", "ormer", "whelk", "summers", "k17", "box 9", "clay pipe",
        "third pile", "tallow", "hall case", "cobalt", "mineral", "WHELK marrowby GINGER",
    ):  # fmt: skip
        assert found(words) == ["Ginger beer"], words
    assert found("whelk crab") == []


def test_accents_case_and_spaces_do_not_matter():
    factories.find("Flasche aus Åsund, Größe 2")
    for words in ("asund", "ÅSUND", "GRÖSSE", "große", "  flasche   asund "):
        assert len(found(words)) == 1, words


def test_signs_of_the_search_language_are_only_signs():
    factories.find("100 % proof_read")
    factories.find("1000 proofs")
    assert found("proof_read") == ["100 % proof_read"]
    assert set(found("100 %")) == {"100 % proof_read", "1000 proofs"}
    for nothing in ("p%f_read", "p*fs", "' OR 1=1 --", "text:proof", "NEAR(100 1000)", "pro NOT fs"):
        assert found(nothing) == [], nothing
    for signs in ('1000"', "{1000", "1000)", "-1000", "+ 1000", "1000\\", "1000*", "1000 AND", "1000:"):
        assert found(signs) == ["1000 proofs"], signs


def test_a_blank_search_leaves_everything():
    factories.find("One")
    assert found("   ") == ["One"]


def test_it_keeps_up_with_changes():
    find = factories.find("Ginger beer")
    find.what = "Lemonade"
    keep_find(find, Parts(inscriptions=[Inscription(text="WHELK BROS")]), fields=["what"])
    assert found("ginger") == [] and found("lemonade whelk bros") == ["Lemonade"]
    keep_find(find, Parts(inscriptions=[]), fields=[])
    assert found("whelk") == []
    move_to(find, factories.place("Shed box"))
    assert found("shed box") == ["Lemonade"]
    move_to(find, None)
    assert found("shed") == []


def test_it_writes_no_line_into_the_history():
    find = factories.find("Ginger beer")
    SearchEntry.objects.all().delete()
    before = find.history.count()
    write_entries(FIND, [find.pk])
    assert find.history.count() == before and found("ginger") == ["Ginger beer"]
