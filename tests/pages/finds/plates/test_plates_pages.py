"""The steps from a worn base to a reading: who may see them, and what becomes of wrong input."""

import re

import pytest

from catalogue.photos import files
from catalogue.photos.services import take_in
from tests import factories as make
from tests.pages.pictures import picture

from .plates_parts import address, rim_query

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]
PAGES = ("", "rim/", "ring/", "read/", "compare/", "round.jpg", "strip.jpg", "relief.png")


@pytest.mark.parametrize("page", PAGES)
def test_a_visitor_may_not(client, lit, page: str) -> None:
    find, photos = lit
    answer = client.get(address(find, page, photos, **rim_query()))
    assert answer.status_code == 302
    assert answer["Location"].startswith("/enter/")


@pytest.mark.parametrize("page", (*PAGES, "../measure/"))
def test_there_is_no_such_find(owner_client, page: str) -> None:
    assert owner_client.get(f"/finds/2025.9.9/plates/{page}").status_code == 404


@pytest.mark.parametrize("page", [page for page in PAGES if page != "read/"])
def test_nothing_is_sent_to_a_page_that_only_shows(owner_client, lit, page: str) -> None:
    assert owner_client.post(f"/finds/{lit[0].number}/plates/{page}").status_code == 405


def test_keeping_a_plate_needs_its_form(owner_client, lit) -> None:
    assert owner_client.get(f"/finds/{lit[0].number}/plates/save/").status_code == 405


def test_the_find_s_page_leads_there(owner_client, lit) -> None:
    page = owner_client.get(lit[0].get_absolute_url()).content.decode()
    assert f"/finds/{lit[0].number}/plates/" in page
    assert f"/finds/{lit[0].number}/measure/" in page


def test_the_first_step_tells_how_and_chooses_what_captions_say(owner_client, lit) -> None:
    find, photos = lit
    page = owner_client.get(f"/finds/{find.number}/plates/").content.decode()
    for caution in ("Don’t breathe the dust", "Chipped bases cut", "not proof", "rendered surfaces only"):
        assert caution in page
    chosen = re.findall(r'name="photo" value="(\d+)" checked', page)
    assert [int(key) for key in chosen] == [photo.pk for photo in photos]
    assert f'name="clock-{photos[1].pk}" value="1.5"' in page


def test_without_pictures_it_asks_for_one(owner_client) -> None:
    page = owner_client.get(f"/finds/{make.find().number}/plates/").content.decode()
    assert "no picture of its own yet" in page


@pytest.mark.parametrize(
    ("count", "sentence"),
    [(2, "Choose one picture, or 4 to 8"), (3, "Choose one picture, or 4 to 8")],
)
def test_too_few_for_a_relief(owner_client, lit, count: int, sentence: str) -> None:
    find, photos = lit
    answer = owner_client.get(address(find, "rim/", photos[:count]))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_pictures_of_another_size_are_not_mixed(owner_client, lit) -> None:
    find, photos = lit
    other = take_in(picture(), subject=find, role="base")
    answer = owner_client.get(address(find, "rim/", [*photos[:4], other], lamp="unknown"))
    assert answer.status_code == 422
    assert "differ in size" in answer.content.decode()


def test_a_picture_of_another_find_is_refused(owner_client, lit) -> None:
    _, photos = lit
    answer = owner_client.get(address(make.find("Ink cone"), "rim/", photos[:1]))
    assert answer.status_code == 422
    assert "no longer here" in answer.content.decode()


def test_each_hour_is_asked_for_where_they_are_typed(owner_client, lit) -> None:
    find, photos = lit
    query = "&".join(f"photo={photo.pk}" for photo in photos[:4])
    answer = owner_client.get(f"/finds/{find.number}/plates/rim/?{query}&lamp=typed")
    assert answer.status_code == 422
    assert answer.content.decode().count("At which hour did the lamp stand?") == 4


WRONG = [
    ({}, "Tap at least three points"),
    ({"p1": "10, 10", "p2": "20, 20"}, "Tap at least three points"),
    ({"p1": "10, 10", "p2": "20, 20", "p3": "30, 30"}, "lie on a line"),
    ({"p1": "50, 50", "p2": "50, 50", "p3": "50, 50"}, "all lie on one place"),
    ({"p1": "up there", "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "-5, 20", "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "101, 20", "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "nan, inf", "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "1e3, 2", "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "9" * 500, "p2": "20, 20", "p3": "30, 10"}, "Give two numbers from 0 to 100"),
    ({"p1": "50, 50", "p2": "50.01, 50", "p3": "50, 50.01"}, "too small"),
    ({**rim_query(), "middle": "2, 2"}, "middle lies too far"),
    ({**rim_query(), "start": "north"}, "Enter a number"),
]


@pytest.mark.parametrize(("marked", "sentence"), WRONG)
def test_a_rim_that_is_none_goes_back_with_a_sentence(owner_client, lit, marked, sentence: str) -> None:
    find, photos = lit
    answer = owner_client.get(address(find, "read/", photos[:1], **marked))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Mark the rim</h1>" in page
    assert sentence in page


@pytest.mark.parametrize("page", ("round.jpg", "strip.jpg", "relief.png", "ring/"))
@pytest.mark.parametrize(("marked", "_"), WRONG)
def test_no_address_makes_the_plates_fail(owner_client, lit, page: str, marked, _) -> None:
    find, photos = lit
    assert owner_client.get(address(find, page, photos[:1], **marked)).status_code in (200, 404)


def test_the_ring_is_told_degree_by_degree(owner_client, lit) -> None:
    find, photos = lit
    told = owner_client.get(address(find, "ring/", photos[:1], **rim_query())).json()
    assert len(told["ring"]) == 361
    left, top = told["ring"][0]
    middle = told["ring"][360]
    assert left == pytest.approx(middle[0], abs=0.2)
    assert middle[1] - top == pytest.approx(46, abs=0.3)
    line = owner_client.get(address(find, "ring/", photos[:1], p1="1, 1", p2="2, 2", p3="3, 3")).json()
    assert line["ring"] == []
    assert "line" in line["why"]


@pytest.mark.parametrize(
    "odd",
    [{"look": "magic"}, {"turn": "x"}, {"inner": "99999"}, {"at": "-3"}, {"high": "nan"}, {"steep": "1e9"}],
)
def test_an_odd_look_falls_back_on_the_usual_one(owner_client, lit, odd) -> None:
    find, photos = lit
    answer = owner_client.get(address(find, "read/", photos[:1], **rim_query(), **odd))
    assert answer.status_code == 200
    assert "shading taken away" in answer.content.decode()


def test_a_lost_file_is_told_in_a_sentence(owner_client, lit) -> None:
    find, photos = lit
    path = files.original(photos[0].sha256, photos[0].format)
    path.write_bytes(path.read_bytes()[:200])
    answer = owner_client.get(address(find, "read/", photos[:1], **rim_query()))
    assert answer.status_code == 422
    assert "may be damaged" in answer.content.decode()


def test_the_page_holds_to_its_queries(owner_client, lit, django_assert_max_num_queries) -> None:
    find, photos = lit
    # session, owner; find, its pictures; readings twice; own symbols; evidence (5); tables (4)
    with django_assert_max_num_queries(20):
        answer = owner_client.get(address(find, "read/", photos, **rim_query()))
    assert answer.status_code == 200
    page = answer.content.decode()
    assert page.count("<h1") == 1
    assert "what stands raised" in page
