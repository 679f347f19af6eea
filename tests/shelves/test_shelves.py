"""Places are a tree; pieces are put there by number, all or none."""

import pytest

from catalogue.shelves.models import Place
from catalogue.specimens.models import Move
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_path_follows_its_parents_name(owner_client):
    case = factories.place("Hall case")
    shelf = factories.place("third shelf", case)
    assert shelf.path == "Hall case, third shelf"
    owner_client.post(f"/shelves/{case.pk}/edit/", {"name": "Study case", "kind": "case"})
    shelf.refresh_from_db()
    assert shelf.path == "Study case, third shelf"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"name": "", "kind": "shelf"}, "required"),
        ({"name": "Hall case", "kind": "shelf"}, "already"),
        ({"name": "x" * 300, "kind": "shelf"}, "200 go in"),
        ({"name": "New", "kind": "cupboardish"}, "none of the choices"),
        ({"name": "New", "kind": "shelf", "parent": "999"}, "not there to choose"),
    ],
)
def test_a_place_that_cannot_be_is_refused(owner_client, given, said):
    factories.place("Hall case")
    answer = owner_client.post("/shelves/new/", given)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert Place.objects.count() == 1


def test_a_place_is_never_inside_itself(owner_client):
    case = factories.place("Hall case")
    shelf = factories.place("third shelf", case)
    answer = owner_client.post(
        f"/shelves/{case.pk}/edit/", {"name": "Hall case", "kind": "case", "parent": shelf.pk}
    )
    assert answer.status_code == 422 and "inside itself" in answer.content.decode()


def test_pieces_are_put_in_a_place_and_the_move_is_written_down(owner_client):
    place = factories.place()
    one, two = factories.find(), factories.find()
    owner_client.post(
        f"/shelves/{place.pk}/put/", {"numbers": f"{one.number}, {two.number}", "why": "sorted"}
    )
    one.refresh_from_db()
    assert one.place == place
    assert Move.objects.filter(to_place=place, why="sorted").count() == 2
    assert one.number in owner_client.get(f"/shelves/{place.pk}/").content.decode()


def test_one_unknown_number_moves_none(owner_client):
    place, find = factories.place(), factories.find()
    answer = owner_client.post(
        f"/shelves/{place.pk}/put/", {"numbers": f"{find.number} 1999.1.1", "why": "sorted by colour"}
    )
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "No find has the number 1999.1.1" in page
    assert f"\n{find.number} 1999.1.1</textarea>" in page and 'value="sorted by colour"' in page, "as typed"
    find.refresh_from_db()
    assert find.place is None


def test_the_shelves_page_costs_the_same_for_many(owner_client, django_assert_num_queries):
    case = factories.place()
    for n in range(6):
        factories.find(place=factories.place(f"shelf {n}", case))
        factories.find()
    # session, user, places, counts, pieces without a place, covers, the axis of years, the place used last
    with django_assert_num_queries(8):
        owner_client.get("/shelves/")


def test_a_place_page_costs_the_same_for_many(owner_client, django_assert_num_queries):
    place = factories.place()
    for _ in range(6):
        factories.find(place=place)
    # session, user, place, keys of its pieces, their order, the page's pieces, places, counts, dustings last
    # done, cut-outs, units, covers, the axis, pictures of the place, what was done, checks
    with django_assert_num_queries(16):
        owner_client.get(f"/shelves/{place.pk}/")


def test_many_places_fold_to_their_rooms(owner_client):
    hall = factories.place("Hall")
    for n in range(41):
        factories.place(f"shelf {n}", hall)
    factories.place("Attic")
    page = owner_client.get("/shelves/")
    assert [(room.row.place.name, len(room.inside)) for room in page.context["folded"]] == [
        ("Attic", 0),
        ("Hall", 41),
    ]
    text = page.content.decode()
    assert text.count("<details><summary>Hall <small>41 inside</small>") == 1
    assert all(f"/shelves/{place.pk}/" in text for place in Place.objects.all())


def test_few_places_stand_open(owner_client):
    factories.place("third shelf", factories.place("Hall"))
    page = owner_client.get("/shelves/")
    assert page.context["folded"] == [] and "inside</small>" not in page.content.decode()


def test_of_many_pieces_without_a_place_a_few_are_shown_and_the_rest_led_to(owner_client):
    for n in range(14):
        factories.find(f"Jar {n}")
    page = owner_client.get("/shelves/")
    assert len(page.context["homeless"]) == 12
    assert "14 pieces with no place" in page.content.decode() and "/finds/?place=-" in page.content.decode()
