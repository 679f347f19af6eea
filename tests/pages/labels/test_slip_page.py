"""The slip that goes with a piece."""

import io

import pypdfium2
import pytest

from catalogue.common.models import HouseSettings
from catalogue.giving.services import hand_over
from catalogue.people.services import erase
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.labels.rendering import codes, pages
from tests.pages.finds.detail.find_parts import full_find
from tests.photos.drawn import jpeg

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


def images_of(pdf: bytes) -> int:
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    try:
        return sum(1 for _ in document[0].get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]))
    finally:
        document.close()


def test_pictures_before_and_after_by_key(owner_client, data_folder) -> None:
    find = make.find("Small cordial")
    address = f"/labels/slip/{find.number}/"
    assert images_of(owner_client.get(address).content) == 0
    take_in(jpeg(tint=1, width=300, height=400), subject=find, role=Photo.Role.REFERENCE)
    assert images_of(owner_client.get(address).content) == 0
    take_in(jpeg(tint=2, width=300, height=400), subject=find, role=Photo.Role.BEFORE)
    assert images_of(owner_client.get(address).content) == 1
    after = take_in(jpeg(tint=3, width=300, height=400), subject=find, role=Photo.Role.AFTER)
    assert images_of(owner_client.get(address).content) == 2
    hand_over(find, make.person())
    # One that is deleted since is missing on a slip that is printed again.
    after.put_in_bin()
    words = owner_client.get(address)
    assert images_of(words.content) == 1 and words["Cache-Control"] == "no-store"


def test_its_code_is_never_one_that_opens_on_this_computer_alone(owner_client) -> None:
    find = make.find("Small cordial")
    for own in ("", "http://127.0.0.1:8737", "http://localhost:8737"):
        HouseSettings(label_address=own).save()
        pdf = owner_client.get(f"/labels/slip/{find.number}/", headers={"host": "localhost"}).content
        assert [code for code, *_ in codes(pages(pdf)[0])] == [find.number]
    HouseSettings(label_address="http://192.168.1.20:8737").save()
    pdf = owner_client.get(f"/labels/slip/{find.number}/", headers={"host": "localhost"}).content
    assert codes(pages(pdf)[0])[0][0] == f"http://192.168.1.20:8737/f/{find.number}"


def test_a_draft_of_its_story_is_offered_at_the_hand_over(owner_client) -> None:
    find, told = make.find("Small cordial", dive=make.dive()), make.find("Jar", story="Told.")
    offered = owner_client.get(f"/giving/{find.number}/hand-over/").context["form"]
    assert "A small cordial." in offered["story"].value() and "June 2024" in offered["story"].value()
    assert "story" not in owner_client.get(f"/giving/{told.number}/hand-over/").context["form"].fields
    sent = {"person": "Edda", "on": "2025-09-12", "told": "on", "story": "A cordial, kept by a crab."}
    owner_client.post(f"/giving/{find.number}/hand-over/", sent)
    assert Specimen.objects.get(pk=find.pk).story == "A cordial, kept by a crab."
    assert "kept by a crab" in slip_of(owner_client, find, "?size=A4")
