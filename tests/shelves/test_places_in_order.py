"""Counts with what is inside, room left, places and pieces in an order of one's own."""

import re

import pytest

from catalogue.pages.shelves.tree_rows import place_rows
from catalogue.shelves.models import Place
from catalogue.shelves.services import OrderedMeanwhile, change_places
from catalogue.shelves.tree import place_tree
from catalogue.specimens.models import PieceOrder
from catalogue.specimens.queries import pieces_by_place
from catalogue.specimens.services import move_to
from catalogue.specimens.services.acts import ChangedSince
from catalogue.specimens.services.shelf_order import order_version, pieces_in_order, stand_before
from tests import factories

pytestmark = pytest.mark.django_db


def names(within: int | None = None) -> list[str]:
    return [place.name for place, _ in place_tree().rows(within)]


def test_counts_hold_what_is_inside_and_leave_out_the_bin():
    room = factories.place("Study")
    case = factories.place("Case", room)
    shelf = factories.place("shelf 1", case)
    for where in (shelf, shelf, case, room):
        factories.find(place=where)
    factories.find(place=shelf).put_in_bin()
    rows = {row.place.name: row for row in place_rows(place_tree(), pieces_by_place())}
    assert [(row.own, row.pieces) for row in (rows["Study"], rows["Case"], rows["shelf 1"])] == [
        (1, 4),
        (1, 3),
        (2, 2),
    ]


def test_room_left_is_said_and_too_many_are_never_refused(owner_client):
    box = factories.place("Box", capacity=2)
    one, two, three = (factories.find() for _ in range(3))
    owner_client.post(f"/shelves/{box.pk}/put/", {"numbers": f"{one.number} {two.number}"})
    text = owner_client.get("/shelves/").content.decode()
    assert "2 of 2" in text and "more than it has room for" not in text
    owner_client.post(f"/shelves/{box.pk}/put/", {"numbers": three.number})
    for address in ("/shelves/", f"/shelves/{box.pk}/"):
        text = owner_client.get(address).content.decode()
        assert "3 of 2" in text and "more than it has room for" in text


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"capacity": "0"}, "Write 1 or more"),
        ({"capacity": "-3"}, "is the least|1 or more"),
        ({"capacity": "99999999"}, "At most 10,000"),
        ({"capacity": "many"}, "whole number"),
        ({"dust_months": "0"}, "Write 1 or more months"),
        ({"light_months": "1000"}, "At most 120"),
    ],
)
def test_figures_that_cannot_be_are_refused_by_their_field(owner_client, given, said):
    answer = owner_client.post("/shelves/new/", {"name": "Case", "kind": "case", **given})
    assert answer.status_code == 422 and re.search(said, answer.content.decode())
    assert not Place.objects.exists()


def test_shelf_ten_comes_after_shelf_two_and_names_alone_are_no_error():
    for name in ("shelf 10", "shelf 2", "2", "Attic", "shelf ²"):
        factories.place(name)
    assert names() == ["2", "Attic", "shelf 2", "shelf 10", "shelf ²"]


def test_places_are_put_in_order_and_undo_puts_them_back(owner_client):
    case = factories.place("Case")
    one, two, three = (factories.place(f"shelf {n}", case) for n in (1, 2, 3))
    page = owner_client.get("/shelves/?arrange=1").content.decode()
    assert f"/shelves/{three.pk}/step/{two.pk}/" in page and f"/shelves/{three.pk}/step/{one.pk}/" not in page
    answer = owner_client.post(f"/shelves/{three.pk}/step/{two.pk}/", follow=True)
    assert names(case.pk) == ["shelf 1", "shelf 3", "shelf 2"]
    undo = re.search(r' action="(/shelves/\d+/step/\d+/)"', answer.content.decode())[1]
    owner_client.post(undo)
    assert names(case.pk) == ["shelf 1", "shelf 2", "shelf 3"]


def test_a_step_beside_what_is_no_neighbour_any_more_is_refused(owner_client):
    one, two, three = (factories.place(f"shelf {n}") for n in (1, 2, 3))
    with pytest.raises(OrderedMeanwhile):
        change_places(one, three)
    inside = factories.place("drawer", three)
    text = owner_client.post(f"/shelves/{two.pk}/step/{inside.pk}/", follow=True).content.decode()
    assert "side by side any more" in text
    assert names() == ["shelf 1", "shelf 2", "shelf 3", "drawer"]


def test_a_place_moved_into_another_stands_last_there(owner_client):
    case = factories.place("Case")
    one, two = (factories.place(name, case) for name in ("b", "c"))
    change_places(two, one)
    loose = factories.place("a")
    owner_client.post(f"/shelves/{loose.pk}/edit/", {"name": "a", "kind": "box", "parent": case.pk})
    assert names(case.pk) == ["c", "b", "a"]


def test_a_piece_is_put_before_another_and_a_late_one_stands_last():
    place = factories.place()
    a, b, c = (factories.find(place=place).pk for _ in range(3))
    assert pieces_in_order(place) == [a, b, c]
    assert stand_before(place, c, a) is None
    assert pieces_in_order(place) == [c, a, b]
    d = factories.find(place=place).pk
    assert pieces_in_order(place) == [c, a, b, d]
    assert stand_before(place, c, None) == a
    assert pieces_in_order(place) == [a, b, d, c]


def test_what_was_moved_away_says_nothing_of_the_order_and_comes_back_to_it():
    place, other = factories.place(), factories.place("Box")
    finds = [factories.find(place=place) for _ in range(3)]
    a, b, c = (find.pk for find in finds)
    stand_before(place, c, a)
    move_to(finds[0], other)
    assert pieces_in_order(place) == [c, b] and pieces_in_order(other) == [a]
    move_to(finds[0], place)
    assert pieces_in_order(place) == [c, a, b]


def test_the_same_place_writes_nothing():
    place = factories.place()
    a, b = (factories.find(place=place).pk for _ in range(2))
    assert stand_before(place, a, b) == b and stand_before(place, a, a) == b
    assert not PieceOrder.objects.exists()


def test_another_window_changed_the_order(owner_client):
    place = factories.place()
    a, b, c = (factories.find(place=place).pk for _ in range(3))
    shown = order_version([a, b, c])
    answer = owner_client.post(
        f"/shelves/{place.pk}/stand/", {"right": f"{a}-{c}", "version": shown}, follow=True
    )
    assert pieces_in_order(place) == [b, a, c] and "stands 2 of 3 now" in answer.content.decode()
    assert f"at={a}" in answer.request["QUERY_STRING"] and "data-focus" in answer.content.decode()
    answer = owner_client.post(
        f"/shelves/{place.pk}/stand/", {"stand": f"{c}-{b}", "version": shown}, follow=True
    )
    assert pieces_in_order(place) == [b, a, c]
    assert "changed meanwhile" in answer.content.decode()
    with pytest.raises(ChangedSince):
        stand_before(place, factories.find().pk, None)


def test_undo_puts_a_piece_back_unless_another_moved_since(owner_client):
    place = factories.place()
    a, b, c = (factories.find(place=place).pk for _ in range(3))
    answer = owner_client.post(f"/shelves/{place.pk}/stand/", {"stand": f"{c}-{a}"}, follow=True)
    undo = re.search(r'action="(/shelves/\d+/stand/[^"]+)"', answer.content.decode())[1]
    stand_before(place, b, c)
    assert "changed meanwhile" in owner_client.post(undo, follow=True).content.decode()
    stand_before(place, b, None)
    owner_client.post(undo)
    assert pieces_in_order(place) == [a, b, c]


@pytest.mark.parametrize("sent", ["", "x-1", "1", "1-", f"{'9' * 30}-0", "999999-0"])
def test_what_cannot_be_moved_says_so(owner_client, sent):
    place = factories.place()
    factories.find(place=place)
    answer = owner_client.post(f"/shelves/{place.pk}/stand/", {"stand": sent}, follow=True)
    assert answer.status_code == 200 and "Nothing was moved" in answer.content.decode()


def test_many_pieces_come_in_pages_that_the_steps_cross(owner_client):
    place = factories.place()
    keys = [factories.find(f"Jar {n}", place=place).pk for n in range(62)]
    page = owner_client.get(f"/shelves/{place.pk}/?page=2&arrange_pieces=1")
    assert [piece.find.pk for piece in page.context["standing"]] == keys[60:]
    assert page.context["standing"][0].left == f"{keys[60]}-{keys[59]}"
    first = owner_client.get(f"/shelves/{place.pk}/?arrange_pieces=1")
    assert (
        first.context["after"] == keys[60] and first.context["standing"][-1].right == f"{keys[59]}-{keys[61]}"
    )
    moved = owner_client.post(f"/shelves/{place.pk}/stand/", {"right": f"{keys[59]}-{keys[61]}"})
    assert "page=2" in moved.headers["Location"]
    whole = owner_client.get(f"/shelves/{place.pk}/").content.decode()
    assert "62 pieces here" in whole and "page 1 of 2" in whole
    assert "There is no page 9" in owner_client.get(f"/shelves/{place.pk}/?page=9").content.decode()


def test_a_piece_without_a_place_is_placed_by_one_touch_and_undone(owner_client):
    case, other = factories.place("Case"), factories.place("Box")
    first, find = factories.find(), factories.find(stage="done")
    move_to(first, other)
    page = owner_client.get("/shelves/")
    text = page.content.decode()
    assert text.index("1 piece with no place") < text.index(">Places<")
    assert f'<option value="{other.pk}" selected>' in text, "the place used last"
    assert "1 finished piece has no place" in owner_client.get("/").content.decode()
    answer = owner_client.post("/shelves/put/", {"find": find.number, "place": case.pk}, follow=True)
    find.refresh_from_db()
    assert find.place == case and "with no place" not in answer.content.decode()
    owner_client.post(re.search(r'action="(/finds/[^"]+/undo/)"', answer.content.decode())[1])
    find.refresh_from_db()
    assert find.place is None


@pytest.mark.parametrize("key", ["", "x", "99999", "9" * 30])
def test_a_place_that_is_gone_moves_nothing(owner_client, key):
    find = factories.find()
    text = owner_client.post(
        "/shelves/put/", {"find": find.number, "place": key}, follow=True
    ).content.decode()
    assert "Nothing was moved" in text
    find.refresh_from_db()
    assert find.place is None
