"""What the page of labels offers: pieces of a place or a town, kinds, parts, picture, own sheets, memory."""

import re

import pytest

from catalogue.common.models import HouseSettings
from catalogue.labels.models import OwnSheet, SheetUse
from catalogue.labels.sheet_memory import sheet_of
from catalogue.labels.sheets import SheetError
from catalogue.pages.labels.pieces import places_asked
from catalogue.specimens.models import BatchAct
from tests import factories
from tests.pages.labels.test_labels_page import SHEET, codes

pytestmark = pytest.mark.django_db


def ticked(page: str) -> list[str]:
    return re.findall(r'name="find" value="([^"]+)" checked', page)


def test_all_pieces_of_a_place_with_what_is_inside_are_offered(owner_client):
    hall = factories.place("Hall")
    shelf = factories.place("Shelf", hall)
    inside = [factories.find("Ink cone", place=shelf), factories.find("Jar", place=hall)]
    factories.find("Elsewhere")
    gone = factories.find("Given away", place=shelf)
    gone.standing = "handed-over"
    type(gone).objects.filter(pk=gone.pk).update(standing="handed-over")
    page = owner_client.get(f"/labels/?place={hall.pk}").content.decode()
    assert ticked(page) == [find.number for find in inside]
    assert owner_client.get("/labels/?place=x").status_code == 200
    assert owner_client.get(f"/labels/?place={'9' * 40}").status_code == 200


@pytest.mark.parametrize("of", ["town", "maker", "bottler", "product", "dive"])
def test_all_pieces_of_a_town_a_maker_a_dive_are_offered(owner_client, of):
    made = factories.brackwater() if of == "maker" else getattr(factories, of)()
    sure = {"maker_how": "opinion"} if of == "maker" else {}
    find = factories.find("Ink cone", **({} if of == "maker" else {of: made}))
    type(find).objects.filter(pk=find.pk).update(**{of: made}, **sure)
    factories.find("Elsewhere")
    assert ticked(owner_client.get(f"/labels/?{of}={made.pk}").content.decode()) == [find.number]
    page = owner_client.get(made.get_absolute_url()).content.decode()
    assert f"/labels/?{of}={made.pk}" in page


def test_ten_thousand_come_by_the_key_of_their_choice(owner_client):
    keys = [factories.find(f"bottle {n}").pk for n in range(70)]
    batch = BatchAct.objects.create(finds=keys)
    page = owner_client.get(f"/labels/?of={batch.pk}").content.decode()
    assert "70 labels" in page and not ticked(page)


def test_a_piece_unticked_stays_off_though_its_place_is_carried_along(owner_client):
    place = factories.place()
    first, second = (factories.find(f"bottle {n}", place=place) for n in range(2))
    given = SHEET | {"box": str(place.pk), "find": [first.number]}
    answer = owner_client.post("/labels/", given | {"code": "number"})
    assert codes(answer.content) == [first.number]
    assert second.number not in codes(answer.content)


def test_the_label_of_a_place_itself_opens_its_page(owner_client):
    hall = factories.place("Hall")
    shelf = factories.place("Shelf", hall)
    page = owner_client.get(f"/labels/?own_label={hall.pk}").content.decode()
    assert f'<option value="{hall.pk}" selected>' in page and "PLACE-" in page
    given = SHEET | {"kind": "place", "own_label": str(hall.pk)}
    answer = owner_client.post("/labels/", given)
    assert codes(answer.content) == [f"http://testserver/p/{hall.pk}/"]
    assert owner_client.get(f"/p/{hall.pk}/")["Location"] == hall.get_absolute_url()
    both = owner_client.post("/labels/", given | {"inside": "on", "code": "number"})
    assert codes(both.content) == [f"PLACE-{hall.pk}", f"PLACE-{shelf.pk}"]
    # typed or scanned into the search, each leads there; of a place that there is not it only searches
    for text in (f"place-{shelf.pk}", f"http://old.local/p/{shelf.pk}/"):
        assert owner_client.get("/search/", {"q": text})["Location"] == shelf.get_absolute_url()
    assert owner_client.get("/search/", {"q": "PLACE-999999"}).status_code == 200
    refused = owner_client.post("/labels/", SHEET | {"kind": "place"})
    assert refused.status_code == 422 and "Choose the place" in refused.content.decode()


def test_visitors_learn_nothing_of_a_place_by_its_number(client):
    hall = factories.place("Zannick hall")
    said = client.get("/search/", {"q": f"PLACE-{hall.pk}"})
    assert said.status_code == 200 and "Zannick" not in said.content.decode()
    assert client.get(f"/p/{hall.pk}/")["Location"].startswith("/enter/")


def test_a_list_of_a_box_names_it_and_opens_it(owner_client):
    box = factories.place("Crate 3")
    find = factories.find("Ink cone", place=box)
    page = owner_client.get(f"/labels/?kind=list&place={box.pk}").content.decode()
    assert 'value="Crate 3"' in page and f'name="box" value="{box.pk}"' in page
    given = SHEET | {"kind": "list", "sheet": "list-a4", "heading": "Crate 3", "box": str(box.pk)}
    answer = owner_client.post("/labels/", given | {"find": find.number})
    assert codes(answer.content) == [f"http://testserver/p/{box.pk}/"]


def test_headings_for_the_groups_of_pieces_and_a_sentence_where_there_are_none(owner_client):
    town = factories.town()
    find = factories.find("Ink cone", town=town)
    given = SHEET | {"kind": "heading", "sheet": "headings-a4", "find": find.number}
    assert owner_client.post("/labels/", given | {"group_by": "town"})["Content-Type"] == "application/pdf"
    refused = owner_client.post("/labels/", given | {"group_by": "maker"})
    assert refused.status_code == 422 and "no heading to print" in refused.content.decode()


def test_a_hazard_is_on_the_picture_whatever_is_chosen(owner_client, monkeypatch):
    from tests.care.makers import crusted

    find = crusted("Sealed bottle")
    find.checks.create(found=["sealed"])
    given = SHEET | {"find": find.number, "parts_of": "shelf", "parts": ["number"]}
    page = owner_client.post("/labels/", given, headers={"HX-Request": "true"}).content.decode()
    assert "Careful: " in page


def seen(client, **given) -> str:
    answer = client.post("/labels/", SHEET | given, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_picture_follows_each_choice_and_writes_nothing(owner_client):
    find = factories.find("Ink cone")
    shown = {"find": find.number, "parts_of": "shelf", "start_of": "a4-21", "start_shown": "1"}
    first = seen(owner_client, **shown, parts=["number", "title"])
    assert "Ink cone</text>" in first and "hx-swap-oob" not in first
    assert "Ink cone</text>" not in seen(owner_client, **shown, parts=["number"])
    assert "Tick at least one thing" in seen(owner_client, **shown)
    assert "Choose a piece" in seen(owner_client, **(shown | {"find": []}), parts=["number"])
    assert "labels 1 to 21; 22 is none" in seen(
        owner_client, **(shown | {"start_at": "22"}), parts=["number"]
    )
    assert "is no number" not in seen(owner_client, **shown, parts=["number"], numbers="2026.x")
    assert not SheetUse.objects.exists()


def test_another_kind_brings_its_own_parts_and_sheet(owner_client):
    find = factories.find("Ink cone")
    shown = {"find": find.number, "parts_of": "shelf", "start_of": "a4-21", "start_shown": "1"}
    page = seen(owner_client, **(shown | {"kind": "card"}), parts=["number"])
    assert '<option value="cards-a4" selected>' in page and 'value="ruler"' in page
    assert page.count("hx-swap-oob") == 3
    # by the button, without script, the whole page says the same
    answer = owner_client.post("/labels/", SHEET | shown | {"kind": "card", "see": "1"})
    assert '<option value="cards-a4" selected>' in answer.content.decode() and answer.status_code == 200


def test_the_sheet_goes_on_where_the_last_print_ended(owner_client):
    finds = [factories.find(f"bottle {n}").number for n in range(3)]
    owner_client.post("/labels/", SHEET | {"find": finds})
    page = owner_client.get("/labels/").content.decode()
    assert 'name="start_at" value="4"' in page and "3 labels, beginning at label 1" in page
    owner_client.post("/labels/", SHEET | {"find": finds})
    assert 'name="start_at" value="4"' in owner_client.get("/labels/").content.decode()
    for given in ({"test": "1"}, {"start_at": "99"}, {"find": []}):
        owner_client.post("/labels/", SHEET | {"find": finds} | given)
    assert SheetUse.objects.get().next_label == 4
    back = owner_client.post("/labels/", SHEET | {"find": finds, "set_back": "1"}).content.decode()
    assert 'name="start_at" value="1"' in back
    other = {"start_of": "a4-21", "start_shown": "1", "parts_of": "shelf", "parts": ["number"]}
    owner_client.post("/labels/", SHEET | {"find": finds, "sheet": "letter-30"})
    page = seen(owner_client, find=finds, **other, sheet="letter-30")
    assert 'name="start_at" value="4"' in page


def carried(page: str) -> dict[str, str]:
    """What the page carries of where its sheet stood."""
    names = ("start_at", "start_shown", "last_print")
    return {name: re.search(rf'name="{name}" value="([^"]*)"', page)[1] for name in names}


def test_labels_that_another_page_used_meanwhile_are_not_printed_over(owner_client):
    """Two pages are open on one sheet; the first prints, then the second."""
    one, two = (factories.find(f"bottle {n}").number for n in range(2))
    both = carried(owner_client.get("/labels/").content.decode())
    assert owner_client.post("/labels/", SHEET | both | {"find": [one]}).status_code == 200
    # the same once more, as by a second tap, is the same print
    assert owner_client.post("/labels/", SHEET | both | {"find": [one]}).status_code == 200
    late = owner_client.post("/labels/", SHEET | both | {"find": [two]})
    page = late.content.decode()
    assert late.status_code == 422 and "the next unused label is 2. Type that, or print once more" in page
    assert SheetUse.objects.get().next_label == 2
    typed = SHEET | both | {"start_at": "2", "find": [two]}
    assert owner_client.post("/labels/", typed).status_code == 200
    assert SheetUse.objects.get().next_label == 3


def test_whoever_saw_that_it_was_printed_on_may_begin_there_all_the_same(owner_client):
    one, two = (factories.find(f"bottle {n}").number for n in range(2))
    both = carried(owner_client.get("/labels/").content.decode())
    owner_client.post("/labels/", SHEET | both | {"find": [one]})
    page = owner_client.post("/labels/", SHEET | both | {"find": [two]}).content.decode()
    again = owner_client.post("/labels/", SHEET | carried(page) | {"find": [two]})
    assert again.status_code == 200 and again["Content-Type"] == "application/pdf"


def test_an_own_sheet_is_added_used_changed_and_deleted(owner_client):
    find = factories.find("Ink cone")
    sheet = {
        "name": "Parcel labels",
        "page": "A4",
        "columns": "2",
        "rows": "4",
        "label_width_mm": "95",
        "label_height_mm": "60",
        "left_mm": "8",
        "top_mm": "12",
        "pitch_x_mm": "99",
        "pitch_y_mm": "66",
    }
    answer = owner_client.post("/labels/sheets/new/", sheet | {"once": "k1"}, follow=True)
    assert "A4, 2 × 4, 95 × 60 mm" in answer.content.decode()
    own = OwnSheet.objects.get()
    made = owner_client.post("/labels/", SHEET | {"find": find.number, "sheet": own.key, "start_at": "8"})
    assert codes(made.content) == [f"http://testserver/f/{find.number}"]
    owner_client.post(f"/labels/sheets/{own.pk}/", sheet | {"rows": "3", "once": "k2"})
    assert OwnSheet.objects.get().rows == 3
    assert (
        "labels 1 to 6; 8 is none"
        in owner_client.post(
            "/labels/", SHEET | {"find": find.number, "sheet": own.key, "start_at": "8"}
        ).content.decode()
    )
    owner_client.post(f"/bin/sheet/{own.pk}/", {"once": "k3"})
    assert not OwnSheet.objects.exists()
    with pytest.raises(SheetError, match="no such sheet any more"):
        sheet_of(own.key)
    page = owner_client.get("/labels/")
    assert page.status_code == 200


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"columns": "3"}, "The labels reach 301 × 270 mm, beyond the page of 210 × 297 mm."),
        ({"label_height_mm": "3"}, "A label of 3 mm has no room for a number, 6 mm is the least."),
        ({"pitch_x_mm": "50"}, "The labels of a row overlap."),
        ({"pitch_y_mm": "50"}, "The rows overlap."),
        ({"page": "own"}, "Say how large the paper is."),
        ({"label_width_mm": "nan"}, "Enter a number."),
        ({"columns": "99999999"}, "beyond the page"),
        ({"page": "own", "page_width_mm": "9e9", "page_height_mm": "9"}, "Paper is at most 2,000 mm long."),
        ({"name": ""}, "required"),
    ],
)
def test_measures_that_cannot_be_come_back_with_one_sentence(owner_client, changes, said):
    sheet = {"name": "P", "page": "A4", "columns": "2", "rows": "4", "left_mm": "8", "top_mm": "12"}
    sheet |= {"label_width_mm": "95", "label_height_mm": "60", "pitch_x_mm": "99", "pitch_y_mm": "66"}
    answer = owner_client.post("/labels/sheets/new/", sheet | changes)
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page
    assert page.count('role="alert" id=') == len(changes) if "page" not in changes else True
    assert not OwnSheet.objects.exists()


def test_a_roll_needs_but_its_size(owner_client):
    given = {
        "name": "R",
        "roll": "on",
        "page": "A4",
        "columns": "1",
        "rows": "1",
        "left_mm": "0",
        "top_mm": "0",
    }
    owner_client.post("/labels/sheets/new/", given | {"label_width_mm": "44", "label_height_mm": "22"})
    assert OwnSheet.objects.get().as_sheet().page_size_mm == (44, 22)
    assert HouseSettings.objects.count() == 0


def test_labels_of_places_come_in_the_order_that_shelves_have():
    room = factories.place("Attic")
    first, second = factories.place("Zinc rack", room), factories.place("Alder rack", room)
    deep = factories.place("Tray", first)
    for order, place in enumerate((first, second), 1):
        place.order = order
        place.save()
    assert places_asked(room, inside=True) == [room, first, deep, second]


@pytest.mark.parametrize("act", [{}, {"set_back": "1"}, {"start_of": "other", "start_shown": "1"}])
def test_a_sheet_that_nobody_makes_is_none(owner_client, act) -> None:
    answer = owner_client.post("/labels/", {"sheet": "no-such sheet", "kind": "shelf", "numbers": "1"} | act)
    assert answer.status_code == (200 if "set_back" in act else 422)
