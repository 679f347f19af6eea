"""What search reads about a find, and that it keeps up."""

import pytest

from catalogue.specimens.derived.writer import refresh_search
from catalogue.specimens.models import Inscription, MarkReading, Specimen
from catalogue.specimens.services import Parts, keep_find, move_to
from tests import factories

pytestmark = pytest.mark.django_db


def found(words: str) -> list[str]:
    return [find.what for find in Specimen.objects.matching(words)]


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
    assert found("100 %") == ["100 % proof_read"]
    assert found("proof_") == ["100 % proof_read"]
    assert found("' OR 1=1 --") == []


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
    before = find.history.count()
    refresh_search(find)
    assert find.history.count() == before
