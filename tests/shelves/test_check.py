"""A walk-round check: ticked by touch, interrupted, ended on purpose, compared with the last, followed."""

import re

import pytest

from catalogue.specimens.models import CheckedPiece, Move, ShelfCheck, Specimen
from catalogue.specimens.services import move_to
from catalogue.specimens.services import shelf_checks as checks
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def shelf():
    return factories.place("Hall case")


def begun(client, place, **sent):
    client.post(f"/shelves/{place.pk}/check/start/", sent)
    return ShelfCheck.objects.get(place=place, ended_at=None)


def tick(client, place, find, seen, **more):
    return client.post(f"/shelves/{place.pk}/check/{find.number}/", {"seen": seen, **more}, follow=True)


def ended(client, place):
    return client.post(f"/shelves/{place.pk}/check/end/", follow=True)


def said(check) -> dict[str, str]:
    return {row.find.number: row.seen for row in check.pieces.select_related("find")}


def text_of(answer) -> str:
    return answer.content.decode()


def test_every_touch_is_kept_and_a_check_left_open_goes_on(owner_client, shelf):
    here, gone, away = (factories.find(place=shelf) for _ in range(3))
    factories.find(place=factories.place("Box"))
    assert "Start the check" in text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))
    check = begun(owner_client, shelf)
    assert "3 of 3 left" in text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))
    tick(owner_client, shelf, here, "here")
    tick(owner_client, shelf, gone, "not-here")
    page = text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))
    assert "1 of 3 left" in page and "Go on with the check" in text_of(
        owner_client.get(f"/shelves/{shelf.pk}/")
    )
    left = owner_client.get(f"/shelves/{shelf.pk}/check/?left=1")
    assert [row.find for row in left.context["rows"]] == [away]
    begun(owner_client, shelf)
    assert ShelfCheck.objects.get() == check, "a second start goes on with the first"
    tick(owner_client, shelf, here, "not-here")
    tick(owner_client, shelf, gone, "")
    assert said(check) == {here.number: "not-here"}


def test_the_row_alone_answers_a_touch(owner_client, shelf):
    find = factories.find(place=shelf)
    begun(owner_client, shelf)
    answer = owner_client.post(
        f"/shelves/{shelf.pk}/check/{find.number}/", {"seen": "here"}, headers={"HX-Request": "true"}
    )
    page = text_of(answer)
    assert page.strip().startswith(f'<li class="check-row said" id="piece-{find.pk}"')
    assert 'hx-swap-oob="true"' in page and "All 1 ticked" in page and 'aria-pressed="true"' in page


def test_elsewhere_wants_a_place_typed_or_scanned(owner_client, shelf):
    find = factories.find(place=shelf)
    box = factories.place("Box", factories.place("Attic"))
    check = begun(owner_client, shelf)
    for typed, why in (("", "Say where"), ("Nowhere", "No place is called so"), ("Hall case", "choose Here")):
        answer = tick(owner_client, shelf, find, "elsewhere", where=typed)
        assert why in text_of(answer) and not check.pieces.exists()
    for typed in ("box", "Attic, Box", f"PLACE-{box.pk}", f"http://10.0.0.2:8737/p/{box.pk}/"):
        tick(owner_client, shelf, find, "elsewhere", where=typed)
        assert check.pieces.get().elsewhere == box, typed
        tick(owner_client, shelf, find, "")
    answer = owner_client.post(
        f"/shelves/{shelf.pk}/check/{find.number}/",
        {"seen": "elsewhere", "where": "Nowh<b>"},
        headers={"HX-Request": "true"},
    )
    assert 'value="Nowh&lt;b&gt;"' in text_of(answer) and 'class="check-elsewhere" open' in text_of(answer)
    assert "Choose: here" in text_of(tick(owner_client, shelf, find, "perhaps"))


def test_an_ended_check_is_closed_and_says_what_nobody_saw(owner_client, shelf):
    one, two = factories.find(place=shelf), factories.find(place=shelf)
    check = begun(owner_client, shelf)
    tick(owner_client, shelf, one, "here")
    page = text_of(ended(owner_client, shelf))
    assert said(check) == {one.number: "here", two.number: "not-said"}
    assert "1 of 2 here" in page and "not seen" in page
    answer = tick(owner_client, shelf, two, "here")
    assert "ended meanwhile" in text_of(answer) and said(check)[two.number] == "not-said"
    assert owner_client.post(f"/shelves/{shelf.pk}/check/end/").status_code == 404
    two.refresh_from_db()
    assert two.place == shelf, "nothing is moved by itself"


def test_what_was_under_way_when_it_was_ended_is_not_ticked(shelf):
    find = factories.find(place=shelf)
    check = checks.begin_check(shelf, with_inside=False)
    checks.end_check(check, [shelf.pk])
    for late in (
        lambda: checks.tick(check, [find], "here", places=[shelf.pk]),
        lambda: checks.untick(check, find),
        lambda: checks.note_read(check, ["x"], pictures=["ab"]),
    ):
        with pytest.raises(checks.CheckEnded):
            late()
    assert said(check) == {find.number: "not-said"}


def test_the_end_is_undone_unless_another_was_begun(owner_client, shelf):
    one, _ = factories.find(place=shelf), factories.find(place=shelf)
    check = begun(owner_client, shelf)
    tick(owner_client, shelf, one, "here")
    undo = re.search(r' action="(/shelves/\d+/checks/\d+/go-on/)"', text_of(ended(owner_client, shelf)))[1]
    owner_client.post(undo)
    check.refresh_from_db()
    assert check.ended_at is None and said(check) == {one.number: "here"}
    ended(owner_client, shelf)
    begun(owner_client, shelf)
    assert "another check of this place was begun" in text_of(owner_client.post(undo, follow=True))


def test_what_stands_here_and_is_recorded_elsewhere_is_moved_by_one_touch_and_back(owner_client, shelf):
    box = factories.place("Box")
    stray, known = factories.find(place=box), factories.find(place=shelf)
    begun(owner_client, shelf)
    sent = {"numbers": f"{stray.number}\n/f/{known.number}"}
    page = text_of(owner_client.post(f"/shelves/{shelf.pk}/check/numbers/", sent, follow=True))
    assert "2 ticked as here" in page and "recorded in <bdi>Box</bdi>" in page
    result = text_of(ended(owner_client, shelf))
    assert "1 of 1 here" in result and "1 not recorded here" in result
    move = re.search(r' action="(/shelves/\d+/checks/\d+/\d+/)"', result)[1]
    done = text_of(owner_client.post(move, follow=True))
    stray.refresh_from_db()
    assert stray.place == shelf and Move.objects.order_by("-pk")[0].why.startswith("stood there, check of")
    assert "Move here" not in done
    owner_client.post(re.search(r' action="(/finds/[^"]+/undo/)"', done)[1])
    stray.refresh_from_db()
    assert stray.place == box
    move_to(stray, factories.place("Drawer"))
    assert "was moved since, to Drawer" in text_of(owner_client.post(move, follow=True))


def test_all_strays_are_moved_here_by_one_touch_and_back_by_one(owner_client, shelf):
    box = factories.place("Box")
    strays = [factories.find(place=box) for _ in range(3)]
    unplaced = factories.find()
    check = begun(owner_client, shelf)
    sent = {"numbers": " ".join(find.number for find in (*strays, unplaced))}
    owner_client.post(f"/shelves/{shelf.pk}/check/numbers/", sent)
    assert "Move all 4 here" in text_of(ended(owner_client, shelf))
    move_to(strays[0], factories.place("Drawer"))
    assert "Move all 3 here" in text_of(owner_client.get(f"/shelves/{shelf.pk}/checks/{check.pk}/"))
    address = f"/shelves/{shelf.pk}/checks/{check.pk}/all/{shelf.pk}/"
    done = text_of(owner_client.post(address, follow=True))
    assert "3 pieces are now in Hall case. 1 was moved since and stays." in done and "Move all" not in done
    assert set(Specimen.objects.filter(place=shelf)) == {*strays[1:], unplaced}
    assert Move.objects.order_by("-pk")[0].why.startswith("stood there, check of")
    owner_client.post(re.search(r' action="(/finds/many/\d+/undo/)"', done)[1])
    assert not Specimen.objects.filter(place=shelf).exists()
    assert set(Specimen.objects.filter(place=box)) == set(strays[1:])
    move_to(strays[1], shelf)
    case = factories.place("Case")
    for find in (strays[2], unplaced):
        move_to(find, case)
    again = text_of(owner_client.post(address, follow=True))
    assert "Nothing was moved: none is recorded where it was then" in again


def test_a_place_in_the_bin_takes_none_of_them(owner_client, shelf):
    room = factories.place("Attic", shelf)
    inside = factories.place("Shelf 2", room)
    strays = [factories.find(place=factories.place("Box")), factories.find()]
    check = begun(owner_client, shelf, inside="on")
    sent = {"numbers": " ".join(find.number for find in strays), "stand": str(inside.pk)}
    page = owner_client.post(f"/shelves/{shelf.pk}/check/numbers/", sent, follow=True)
    assert "2 ticked as in Hall case, Attic, Shelf 2." in text_of(page)
    ended(owner_client, shelf)
    inside.put_in_bin()
    result = f"/shelves/{shelf.pk}/checks/{check.pk}/"
    assert "Move to" not in text_of(owner_client.get(result))
    for address in (f"{result}all/{inside.pk}/", f"{result}{check.pieces.first().pk}/"):
        assert "is in the bin" in text_of(owner_client.post(address, follow=True))
    assert not Specimen.objects.filter(place=inside).exists()


def test_an_unknown_number_ticks_none(owner_client, shelf):
    find = factories.find(place=shelf)
    check = begun(owner_client, shelf)
    answer = owner_client.post(f"/shelves/{shelf.pk}/check/numbers/", {"numbers": f"{find.number} 1999.1.1"})
    assert answer.status_code == 422 and "No find has the number 1999.1.1" in text_of(answer)
    assert f"{find.number} 1999.1.1</textarea>" in text_of(answer) and not check.pieces.exists()


def test_missing_and_elsewhere_are_followed_by_choice(owner_client, shelf):
    gone, away = factories.find(place=shelf), factories.find(place=shelf)
    box = factories.place("Box")
    check = begun(owner_client, shelf)
    tick(owner_client, shelf, gone, "not-here")
    tick(owner_client, shelf, away, "elsewhere", where="Box")
    ended(owner_client, shelf)
    for row in check.pieces.all():
        owner_client.post(f"/shelves/{shelf.pk}/checks/{check.pk}/{row.pk}/")
    gone.refresh_from_db()
    away.refresh_from_db()
    assert gone.place is None and away.place == box
    whys = sorted(Move.objects.exclude(why="first place").values_list("why", flat=True))
    assert whys[0].startswith("not found, check of") and whys[1].startswith("seen there, check of")


def test_a_result_is_compared_with_the_last(owner_client, shelf):
    names = ("stays", "lost", "back", "sold", "new")
    finds = {name: factories.find(name, place=shelf) for name in names[:4]}
    begun(owner_client, shelf)
    for name in ("stays", "sold"):
        tick(owner_client, shelf, finds[name], "here")
    assert "first check of this place" in text_of(ended(owner_client, shelf))
    move_to(finds["sold"], factories.place("Box"))
    finds["new"] = factories.find("new", place=shelf)
    check = begun(owner_client, shelf)
    for name in ("stays", "back"):
        tick(owner_client, shelf, finds[name], "here")
    tick(owner_client, shelf, finds["lost"], "not-here")
    page = text_of(ended(owner_client, shelf))
    check.refresh_from_db()
    found = checks.result_of(check)
    assert {row.find.what for row in found.missing} == {"lost", "new"}
    assert found.again == {finds["lost"].pk}
    assert [row.find.what for row in found.found_again] == ["back"]
    assert [row.find.what for row in found.moved] == ["sold"]
    assert page.count("missing the last time too") == 1 and "Missing then, here now" in page


def test_a_check_with_all_inside_goes_round_in_the_order_of_places(owner_client, shelf):
    two, one = factories.place("shelf 2", shelf), factories.place("shelf 1", shelf)
    second, first, own = (factories.find(place=where) for where in (two, one, shelf))
    assert "With all places inside it" in text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))
    begun(owner_client, shelf, inside="on")
    page = owner_client.get(f"/shelves/{shelf.pk}/check/")
    assert [row.find for row in page.context["rows"]] == [own, first, second]
    tick(owner_client, shelf, second, "here")
    assert not page.context["strays"] and CheckedPiece.objects.get().expected


def test_what_was_handed_over_is_not_looked_for(owner_client, shelf):
    find = factories.find(place=shelf)
    Specimen.objects.filter(pk=find.pk).update(standing="lost")
    begun(owner_client, shelf)
    assert "Nothing stands here by the record" in text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))


def test_a_check_goes_to_the_bin_and_comes_back_unless_another_goes_on(owner_client, shelf):
    factories.find(place=shelf)
    check = begun(owner_client, shelf)
    owner_client.post(f"/bin/check/{check.pk}/", {"next": f"/shelves/{shelf.pk}/"})
    check.refresh_from_db()
    assert check.binned_at and "Start the check" in text_of(owner_client.get(f"/shelves/{shelf.pk}/check/"))
    assert "check of Hall case" in text_of(owner_client.get("/bin/"))
    other = begun(owner_client, shelf)
    assert other != check
    answer = owner_client.post(f"/bin/check/{check.pk}/back/", follow=True)
    check.refresh_from_db()
    assert "goes on: end that one first" in text_of(answer) and check.binned_at
    owner_client.post(f"/bin/check/{other.pk}/")
    owner_client.post(f"/bin/check/{check.pk}/back/", follow=True)
    check.refresh_from_db()
    assert check.binned_at is None


def test_a_check_costs_the_same_for_many(owner_client, shelf, django_assert_num_queries):
    finds = [factories.find(place=shelf) for _ in range(8)]
    begun(owner_client, shelf)
    for find in finds[:4]:
        tick(owner_client, shelf, find, "here")
    # session, user, place, its check, the last one, places, keys, their order, what was said, finds, covers,
    # what was said of those on the page, strays
    with django_assert_num_queries(13):
        owner_client.get(f"/shelves/{shelf.pk}/check/")
    ended(owner_client, shelf)
    check = ShelfCheck.objects.get()
    # session, user, check, its rows, the one before, the latest
    with django_assert_num_queries(6):
        owner_client.get(f"/shelves/{shelf.pk}/checks/{check.pk}/")
