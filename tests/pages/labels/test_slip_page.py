"""The slip that goes with a piece."""

import io

import pypdfium2
import pytest

from catalogue.giving.services import hand_over
from catalogue.people.services import erase
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.pages.finds.detail.find_parts import full_find

pytestmark = pytest.mark.django_db


def words_of(pdf: bytes) -> str:
    """The text of a PDF, read by another program than the one that wrote it."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    try:
        texts = []
        for page in document:
            text = page.get_textpage()
            texts.append(text.get_text_range())
            text.close()
            page.close()
        return " ".join(" ".join(texts).split())
    finally:
        document.close()


def slip_of(client, find: Specimen, query: str = "") -> str:
    answer = client.get(f"/labels/slip/{find.number}/{query}")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    return words_of(answer.content)


def test_it_tells_the_story_and_the_cautions(owner_client) -> None:
    find = full_find()
    for query in ("", "?size=A6", "?size=nonsense"):
        words = slip_of(owner_client, find, query)
        for part in (
            "2025.1.1",
            "Aqua ginger-beer bottle",
            "one of 1926, 1936, 1946",
            "marked for Marrowby",
            "It held ginger beer.",
            "Clean does not mean fit to drink from",
            "sharp",
        ):
            assert part in words, (query, part)
        # whoever gets it has to know that its surface was taken off
        assert "tumbling" in words
        assert "Tallow Cove" not in words
        assert "Private note" not in words


def test_it_stays_as_it_was_on_the_day(owner_client) -> None:
    find = make.find("Small cordial", story="Told on that day.")
    person = make.person("Edda Marsh")
    hand_over(find, person)
    Specimen.objects.filter(pk=find.pk).update(story="Rewritten since.")
    words = slip_of(owner_client, find)
    assert "Told on that day." in words
    assert "Rewritten" not in words
    assert "to Edda Marsh" in words
    erase(person)
    words = slip_of(owner_client, find)
    assert "Edda" not in words
    assert "erased" not in words


def test_words_that_no_font_can_show_do_not_stop_it(owner_client) -> None:
    assert "2" in slip_of(owner_client, make.find("زجاجة 🙂 <b>vial</b>", story="🙂" * 200))


def test_no_such_find_wrong_method_and_visitor(owner_client, client) -> None:
    find = make.find("Small cordial", shared=True)
    address = f"/labels/slip/{find.number}/"
    assert owner_client.get("/labels/slip/2025.9.9/").status_code == 404
    assert owner_client.post(address).status_code == 405
    assert client.get(address)["Location"].startswith("/enter/")
