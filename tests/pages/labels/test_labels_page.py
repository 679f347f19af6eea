"""The page of labels: pieces ticked or typed, one sheet out."""

import pypdfium2
import pytest
import zxingcpp
from django.contrib.auth import get_user_model

from catalogue.common.models import HouseSettings
from tests import factories

pytestmark = pytest.mark.django_db
SHEET = {"sheet": "a4-21", "kind": "shelf", "start_at": "1", "right_mm": "0", "down_mm": "0"}


def codes(pdf: bytes) -> list[str]:
    """What the codes on the first page say, read by a judge other than their maker."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[0].render(scale=300 / 72).to_pil()
    document.close()
    return sorted(found.text for found in zxingcpp.read_barcodes(page))


@pytest.mark.parametrize("sheet", ["a4-21", "letter-30"])
def test_finds_become_one_sheet_with_codes_that_lead_back(owner_client, sheet):
    finds = [factories.find(town=None), factories.find("Ink cone")]
    answer = owner_client.post("/labels/", SHEET | {"sheet": sheet, "find": [f.number for f in finds]})
    assert answer["Content-Type"] == "application/pdf"
    assert codes(answer.content) == sorted(f"http://testserver/f/{find.number}" for find in finds)


def test_the_address_on_labels_can_be_set(owner_client):
    HouseSettings(label_address="http://192.168.7.20:8737/").save()
    find = factories.find()
    answer = owner_client.post("/labels/", SHEET | {"numbers": find.number})
    assert codes(answer.content) == [f"http://192.168.7.20:8737/f/{find.number}"]


def test_finds_named_in_the_address_are_ticked(owner_client):
    find = factories.find()
    page = owner_client.get(f"/labels/?find={find.number}").content.decode()
    assert f'value="{find.number}" checked' in page


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({}, "Choose at least one piece"),
        ({"numbers": "1999.1.1"}, "No find has the number 1999.1.1"),
        ({"numbers": "<b>x</b>"}, "this is no number"),
        ({"start_at": "0"}, "1 is the least"),
        ({"start_at": "99"}, "labels 1 to 21"),
        ({"right_mm": "nan"}, "number"),
        ({"right_mm": "50"}, "10 is the most"),
        ({"sheet": "papyrus"}, "none of the choices"),
        ({"kind": "neon"}, "none of the choices"),
        ({"parts_of": "shelf"}, "Tick at least one thing that stands on the label"),
        ({"start_at": "31", "sheet": "letter-30"}, "labels 1 to 30; 31 is none of them"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_and_keeps_what_was_chosen(owner_client, given, said):
    find = factories.find()
    base = SHEET if "numbers" in given or not given else SHEET | {"find": find.number}
    answer = owner_client.post("/labels/", base | given)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page
    assert "<b>x</b>" not in page


def test_codes_too_large_for_their_labels_are_said_before_printing(owner_client):
    find = factories.find()
    given = SHEET | {"sheet": "a4-270", "find": find.number}
    refused = owner_client.post("/labels/", given)
    assert refused.status_code == 422 and "no code" in refused.content.decode()
    assert owner_client.post("/labels/", given | {"anyway": "1"})["Content-Type"] == "application/pdf"


def test_a_test_page_needs_no_find(owner_client):
    assert owner_client.post("/labels/", SHEET | {"test": "1"})["Content-Type"] == "application/pdf"


def test_the_last_sheet_used_is_offered_again(owner_client):
    find = factories.find()
    owner_client.post("/labels/", SHEET | {"sheet": "letter-30", "find": find.number})
    owner_client.logout()
    owner_client.force_login(get_user_model().objects.get())  # not of the session, but of the catalogue
    assert '<option value="letter-30" selected>' in owner_client.get("/labels/").content.decode()


def test_many_labels_cost_few_queries(owner_client, django_assert_num_queries):
    numbers = [factories.find(f"bottle {n}").number for n in range(12)]
    owner_client.post("/labels/", SHEET | {"find": numbers[0]})
    # session, user, which finds are named, finds with what is joined, what is known of their hazards (five),
    # the house's settings, the kind's last parts, one's own sheets; the print remembered (nine, savepoints
    # among them)
    with django_assert_num_queries(20):
        owner_client.post("/labels/", SHEET | {"find": numbers, "start_at": "3"})


def test_a_visitor_prints_nothing(client):
    assert client.get("/labels/").status_code == 302
    assert client.post("/labels/", SHEET).status_code == 302


def test_a_range_is_printed_whole_whatever_its_length(owner_client):
    first = factories.find("bottle 0")
    finds = [first, *(factories.find(f"bottle {n}") for n in range(1, 65))]
    typed = f"{first.number}-{finds[-1].number_piece}"
    page = owner_client.get(f"/labels/?numbers={typed}").content.decode()
    assert typed in page and "65 labels" in page
    answer = owner_client.post("/labels/", SHEET | {"sheet": "letter-30", "numbers": typed})
    assert len(pypdfium2.PdfDocument(answer.content)) == 3


def test_one_mistake_keeps_all_that_was_typed_and_prints_nothing(owner_client):
    find = factories.find()
    binned = factories.find()
    binned.put_in_bin()
    typed = f"http://box.example/f/{find.number}\r\n{binned.number} 2026.x"
    answer = owner_client.post("/labels/", SHEET | {"numbers": typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert typed.replace("\r\n", "\n") in page.replace("\r\n", "\n")
    assert "Line 2, “2026.x”: this is no number" in page and f"{binned.number} is in the bin" in page
    printed = owner_client.post("/labels/", SHEET | {"numbers": typed, "without": "yes"})
    assert codes(printed.content) == [f"http://testserver/f/{find.number}"]


def test_too_many_numbers_are_said_not_cut(owner_client):
    answer = owner_client.post("/labels/", SHEET | {"numbers": "2026.0.1-99999", "without": "yes"})
    assert answer.status_code == 422 and "99,999 numbers" in answer.content.decode()


def test_a_default_start_prints_no_code_of_this_computer_alone(owner_client, monkeypatch):
    monkeypatch.setattr("catalogue.access.startup.network.routed_addresses", lambda: [])
    find = factories.find()
    page = owner_client.get(f"/labels/?find={find.number}", SERVER_NAME="127.0.0.1").content.decode()
    assert "http://127.0.0.1" not in page and 'value="number"' in page
    answer = owner_client.post("/labels/", SHEET | {"find": find.number}, SERVER_NAME="127.0.0.1")
    assert codes(answer.content) == [find.number]
    # what a scanner of labels reads is what the catalogue's own look-ups take
    assert owner_client.get("/search/", {"q": find.number})["Location"] == find.get_absolute_url()


def test_another_address_is_typed_once_and_comes_back(owner_client):
    find = factories.find()
    given = SHEET | {"find": find.number, "code": "own"}
    refused = owner_client.post("/labels/", given)
    assert refused.status_code == 422 and "Type the address" in refused.content.decode()
    refused = owner_client.post("/labels/", given | {"own_address": "siltbox"})
    assert refused.status_code == 422 and "http:// in front" in refused.content.decode()
    answer = owner_client.post("/labels/", given | {"own_address": "http://siltbox.local:8000/"})
    assert codes(answer.content) == [f"http://siltbox.local:8000/f/{find.number}"]
    again = owner_client.post("/labels/", SHEET | {"find": find.number, "code": "http://siltbox.local:8000"})
    assert codes(again.content) == codes(answer.content)
    alone = owner_client.post("/labels/", SHEET | {"find": find.number, "code": "number"})
    assert codes(alone.content) == [find.number]
    assert 'value="number" id="id_code_' in owner_client.get("/labels/").content.decode()


def test_a_trial_or_a_sheet_without_codes_changes_nothing(owner_client):
    find = factories.find()
    for given in ({"test": "1"}, {"parts_of": "shelf", "parts": ["number", "title"]}):
        owner_client.post("/labels/", SHEET | {"find": find.number, "code": "number"} | given)
    assert not HouseSettings.current().label_number_alone


def test_letters_that_no_font_has_are_told_before_printing(owner_client):
    find = factories.find("Sake 瓶 🍾")
    refused = owner_client.post("/labels/", SHEET | {"find": find.number})
    page = refused.content.decode()
    assert "Not printed yet." in page and "Not saved" not in page
    assert refused.status_code == 422 and "would print as boxes: 瓶 🍾." in page and "extra “cjk”" in page
    printed = owner_client.post("/labels/", SHEET | {"find": find.number, "anyway": "1"})
    assert printed["Content-Type"] == "application/pdf"
    # where the words are not printed, nothing is missing
    assert (
        owner_client.post(
            "/labels/", SHEET | {"find": find.number, "parts_of": "shelf", "parts": ["number", "code"]}
        ).status_code
        == 200
    )
    other = factories.find("Ελλάδα Привет שלום زجاجة")
    assert owner_client.post("/labels/", SHEET | {"find": other.number}).status_code == 200
