"""A hazard on the screen: under the name, on the label, and asked about before an act."""

import pytest

from catalogue.care.models import HazardReason, SoakMember
from catalogue.giving.models import Promise
from catalogue.specimens.models import Specimen
from tests.care.makers import SOAK_FORM, crusted

pytestmark = pytest.mark.django_db

REASON = {"hazard-reason": "Emptied and rinsed by the fire service"}


def words(answer, status: int = 200) -> str:
    assert answer.status_code == status
    return answer.content.decode()


def test_the_hazard_stands_under_the_name_on_every_page_of_the_piece(owner_client) -> None:
    find = crusted(found=("sealed",))
    said = "explodes when dry"
    pages = ("/finds/{}/", "/workbench/{}/", "/workbench/{}/clean/", "/workbench/{}/growth-kept/")
    for page in (*pages, "/giving/{}/promise/", "/giving/{}/hand-over/"):
        text = words(owner_client.get(page.format(find.number)))
        head = text[text.index("<h1") :]
        assert said in head and head.index('class="say hazard') < head.index(said), page
    bench = words(owner_client.get(f"/workbench/{find.number}/"))
    for offer in ("Clean it, tool by tool", "Soak it", "Plan a bath"):
        assert offer not in bench


def test_a_clean_piece_has_no_such_line(owner_client) -> None:
    find = crusted()
    assert 'class="say hazard' not in words(owner_client.get(f"/finds/{find.number}/"))
    assert "Soak it" in words(owner_client.get(f"/workbench/{find.number}/"))


def test_a_sealed_piece_is_not_set_free(owner_client) -> None:
    find = crusted(found=("sealed",))
    here = f"/giving/{find.number}/standing/"
    answer = owner_client.post(here, {"standing": "free", **REASON}, follow=True)
    assert "sealed: it may hold pressure" in words(answer)
    assert Specimen.objects.get().standing == "kept"
    for wanted in ("promise", "hand-over"):
        given = {"person": "Ola", "on": "2026-05-01", "told": "on"}
        text = words(owner_client.post(f"/giving/{find.number}/{wanted}/", given), 422)
        assert "sealed: it may hold pressure" in text and 'value="Ola"' in text
    assert not Promise.objects.exists()


def test_a_reason_is_asked_for_and_what_was_typed_goes_along(owner_client) -> None:
    find = crusted(found=("unknown_contents",))
    here = f"/giving/{find.number}/promise/"
    sent = {"person": "Ola", "on": "2026-05-01", "note": "for the window sill"}
    page = words(owner_client.post(here, sent), 422)
    assert "Nothing is changed yet" in page and "empty and clean it first" in page
    assert 'name="person" value="Ola"' in page and 'value="for the window sill"' in page
    assert not Promise.objects.exists()
    page = words(owner_client.post(here, {**sent, "hazard-reason": "fine"}), 422)
    assert "A few words more" in page and ">fine</textarea>" in page
    assert owner_client.post(here, {**sent, **REASON}).status_code == 302
    assert Promise.objects.get().note == sent["note"]
    assert HazardReason.objects.get().reason == REASON["hazard-reason"]


def test_sharing_and_soaking_ask_too(owner_client) -> None:
    find = crusted(found=("sealed",))
    share = f"/finds/{find.number}/share/"
    words(owner_client.post(share, {"shared": "yes"}), 422)
    assert not Specimen.objects.get().shared
    owner_client.post(share, {"shared": "yes", **REASON})
    assert Specimen.objects.get().shared
    given = {"name": "Crate", **SOAK_FORM}
    page = words(owner_client.post("/workbench/soaks/new/", {**given, "find": find.number, **REASON}), 422)
    assert "water of its own" in page
    assert not SoakMember.objects.exists()


def test_a_shelf_label_carries_the_hazard(owner_client) -> None:
    from catalogue.labels.texts_of import label_of

    find = crusted(found=("sealed",))
    assert label_of(find, "http://x", hazards=["sealed"]).note == "Careful: sealed"
    assert label_of(find, "http://x").note == ""


def test_what_is_not_to_be_done_is_one_sentence_for_each_reason(owner_client) -> None:
    page = words(owner_client.get(f"/workbench/{crusted(found=('sealed',)).number}/"))
    dont = page[page.index("<summary>Don't") :]
    dont = dont[: dont.index("</details>")]
    for line in dont.split("<p>")[1:]:
        assert line.count("Pressure, poison or worse inside") <= 1
    assert 1 <= dont.count("Pressure, poison or worse inside") <= 3 < 24
    assert "Not to be overridden here" in dont
