"""A shelf taken in by one picture: boxes proposed, kept, numbered once, whatever is sent."""

import pytest
from django.test import Client

from catalogue.photos import files
from catalogue.photos.models import Photo, ShelfBox, ShelfSession
from catalogue.photos.queries import UNDESCRIBED
from catalogue.photos.services.shelf import number_bottles
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen
from tests import factories
from tests.pages.pictures import not_a_picture

from .shelf_picture import SIZE, places, rack, shelf_picture

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]
BEGIN = "/finds/shelf/"


@pytest.fixture
def signed_in(owner_client) -> Client:
    return owner_client


def begin(client: Client, count: int = 4, **said: object) -> ShelfSession:
    data = {"new_place": "Attic shelf", "stage": "done", "pictures": shelf_picture(count)} | said
    answer = client.post(BEGIN, data)
    assert answer.status_code == 302, answer.context["form"].errors
    return ShelfSession.objects.get(pk=answer.url.rstrip("/").rsplit("/", 1)[1])


def rows(*boxes: dict[str, object], **more: object) -> dict[str, object]:
    """A form of boxes: each a dict of edges in per cent and what else is said of it."""
    sent: dict[str, object] = {"box-TOTAL_FORMS": len(boxes), "box-INITIAL_FORMS": 0} | more
    for n, box in enumerate(boxes):
        sent |= {f"box-{n}-{name}": value for name, value in box.items()}
    return sent


def box(key: str, left: float, right: float, top: float = 30, bottom: float = 90, **more: object) -> dict:
    return {"key": key, "left": left, "right": right, "top": top, "bottom": bottom, "kind": ""} | more


def stored(session: ShelfSession) -> list[dict[str, object]]:
    """The boxes as the page would send them again."""
    return [
        box(
            b.key,
            100 * b.left_px / SIZE[0],
            100 * b.right_px / SIZE[0],
            100 * b.top_px / SIZE[1],
            100 * b.bottom_px / SIZE[1],
        )
        for b in session.boxes.all()
    ]


def test_the_picture_proposes_a_box_for_each_bottle(signed_in):
    session = begin(signed_in, 5, recovered="the 1990s", kind="beer")
    found = sorted(b.corners for b in session.boxes.all())
    assert len(found) == 5
    for (left, _, right, _), (at_left, _, at_right, _) in zip(found, places(5), strict=True):
        assert left <= (at_left + at_right) / 2 <= right
    assert {b.kind for b in session.boxes.all()} == {"beer"}
    assert session.place.name == "Attic shelf"
    assert session.recovered_edtf == "199X"
    page = signed_in.get(f"{BEGIN}{session.pk}/")
    assert page.status_code == 200
    assert "5 marked, no number yet" in page.content.decode()
    assert "Came up the 1990s" in page.content.decode()


def test_the_row_of_every_board_is_proposed_and_numbered_from_the_top(signed_in):
    session = begin(signed_in, pictures=rack(6, boards=3))
    found = [b.corners for b in session.boxes.order_by("pk")]
    assert len(found) == 18
    drawn = [(x, y + n * SIZE[1]) for n in range(3) for x, y in middles(6)]
    for (left, top, right, bottom), (x, y) in zip(found, drawn, strict=True):
        assert left <= x <= right and top <= y <= bottom
    # Small beside the picture: a phone shows it wider than its screen.
    assert 'class="shelf-in wide"' in signed_in.get(f"{BEGIN}{session.pk}/").content.decode()


def middles(count: int) -> list[tuple[float, float]]:
    return [((left + right) / 2, (top + bottom) / 2) for left, top, right, bottom in places(count)]


def test_number_makes_a_find_of_each_with_its_cut_out(signed_in):
    ledge = factories.site()
    session = begin(signed_in, 3, recovered="about 1995", site=ledge.pk)
    sent = stored(session)
    sent[1]["kind"] = "ink"
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(*sent, act="number"))
    assert answer.status_code == 302
    finds = list(Specimen.objects.order_by("number_piece"))
    assert len(finds) == 3
    # numbered from the left
    lefts = [find.shelf_box.left_px for find in finds]
    assert lefts == sorted(lefts)
    assert [find.what for find in finds] == [UNDESCRIBED, "Ink bottle", UNDESCRIBED]
    assert {(f.place, f.site, f.recovered_edtf, f.stage) for f in finds} == {
        (session.place, ledge, "1995~", "done")
    }
    for find in finds:
        photo = Photo.objects.of(find).get()
        assert photo.role == Photo.Role.DETAIL
        assert photo.source.startswith("cut from the picture of Attic shelf of ")
        left, top, right, bottom = find.shelf_box.corners
        assert right - left <= photo.width <= round(1.1 * (right - left)) + 1
        assert bottom - top <= photo.height <= round(1.1 * (bottom - top)) + 1
        assert files.original(photo.sha256, photo.format).exists()
    page = signed_in.get(answer.url)
    assert "3 numbered, 3 to look at" in page.content.decode()
    link = page.context["labels_url"]
    assert [f"find={find.number}" in link for find in finds] == [True] * 3
    assert signed_in.get(link).context["finds"] == finds


def test_pieces_still_to_be_cleaned_are_shown_as_before(signed_in):
    session = begin(signed_in, 2, stage="wet")
    number_bottles(session)
    assert {photo.role for photo in Photo.objects.exclude(find=None)} == {"before"}


def test_two_boxes_on_one_bottle_are_asked_about_and_nothing_is_numbered(signed_in):
    session = begin(signed_in, 2)
    sent = [*stored(session), stored(session)[0] | {"key": "again"}]
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(*sent, act="number"))
    assert answer.status_code == 422
    assert "seem to hold the same bottle" in answer.content.decode()
    assert not Specimen.everything.exists()
    # The boxes themselves are kept: nobody has to draw them again.
    assert session.boxes.count() == 3
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(*sent, act="number", anyway="on"))
    assert answer.status_code == 302
    assert Specimen.objects.count() == 3


def test_a_picture_without_a_bottle_says_so_and_takes_boxes_by_hand(signed_in):
    session = begin(signed_in, 4, pictures=plain_picture())
    assert not session.boxes.exists()
    assert "tap each one" in signed_in.get(f"{BEGIN}{session.pk}/").content.decode()
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(act="number"))
    assert answer.status_code == 422
    assert "No bottle is marked yet" in answer.content.decode()
    signed_in.post(f"{BEGIN}{session.pk}/", rows(box("mine", 10, 20), act="number"))
    assert Specimen.objects.count() == 1


def plain_picture():
    from tests.pages.pictures import picture

    return picture("wall.jpg", (200, 198, 190))


def test_a_session_closed_half_way_is_kept_and_goes_on(signed_in):
    session = begin(signed_in, 3)
    kept = [stored(session)[0] | {"remove": "on"}, *stored(session)[1:], box("hand", 2, 6, kind="jar")]
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(*kept), headers={"X-Keep": "yes"})
    assert answer.status_code == 204
    assert set(session.boxes.values_list("key", flat=True)) == {"proposed-2", "proposed-3", "hand"}
    listed = signed_in.get(BEGIN)
    assert "3 marked, no number yet" in listed.content.decode()
    again = signed_in.get(f"{BEGIN}{session.pk}/")
    assert len(again.context["waiting"]) == 3
    assert ShelfBox.objects.get(key="hand").kind == "jar"


def test_numbering_twice_makes_no_find_twice(signed_in):
    session = begin(signed_in, 3)
    sent = rows(*stored(session), act="number")
    for _ in range(2):
        assert signed_in.post(f"{BEGIN}{session.pk}/", sent).status_code == 302
    assert Specimen.everything.count() == 3
    assert number_bottles(session) == []


def test_a_bottle_missed_is_added_later_and_numbered_ones_stay(signed_in):
    session = begin(signed_in, 2)
    first = stored(session)
    signed_in.post(f"{BEGIN}{session.pk}/", rows(*first, act="number"))
    numbers = set(Specimen.objects.values_list("number", flat=True))
    late = [first[0] | {"left": 0, "right": 1}, first[1] | {"remove": "on"}, box("late", 93, 99)]
    signed_in.post(f"{BEGIN}{session.pk}/", rows(*late, act="number"))
    assert numbers < set(Specimen.objects.values_list("number", flat=True))
    assert Specimen.objects.count() == 3
    assert session.boxes.get(key=first[0]["key"]).left_px > SIZE[0] / 100


def test_the_same_picture_again_goes_on_where_one_was(signed_in):
    session = begin(signed_in, 2)
    number_bottles(session)
    place = Place.objects.get()
    again = begin(signed_in, 2, new_place="", place=place.pk)
    assert again == session
    assert ShelfSession.everything.count() == 1
    assert Place.objects.count() == 1


def test_several_pictures_become_several_shelves(signed_in):
    begin(signed_in, 2, pictures=[shelf_picture(2), shelf_picture(3)])
    assert sorted(s.boxes.count() for s in ShelfSession.objects.all()) == [2, 3]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"new_place": ""}, "Say where they stand"),
        ({"pictures": ""}, "Choose the picture of the shelf."),
        ({"recovered": "3050"}, "That is in the future."),
        ({"recovered": "whenever"}, "not a date that can be read"),
        ({"kind": "teapot"}, "none of the choices"),
        ({"site": "999"}, "not there to choose"),
        ({"new_place": "x" * 201}, "200 go in"),
    ],
)
def test_bad_input_is_said_by_its_field_and_the_picture_is_kept(signed_in, said, sentence):
    data = {"new_place": "Attic shelf", "stage": "done", "pictures": shelf_picture(2)} | said
    answer = signed_in.post(BEGIN, data)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not ShelfSession.everything.exists()
    assert not Place.objects.exists()
    if "pictures" not in said:
        token = answer.context["picked"].held[0].token
        good = {"new_place": "Attic shelf", "stage": "done", "held": token}
        assert signed_in.post(BEGIN, good).status_code == 302


def test_what_is_no_picture_is_refused(signed_in):
    data = {"new_place": "Attic shelf", "stage": "done", "pictures": not_a_picture()}
    answer = signed_in.post(BEGIN, data)
    assert answer.status_code == 422
    assert "isn&#x27;t a picture" in answer.content.decode()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"left": "nan"}, "Write a number from 0 to 100."),
        ({"left": "-3"}, "0 is the least"),
        ({"right": "101"}, "100 is the most"),
        ({"right": ""}, "This edge is missing."),
        ({"right": "5"}, "must lie right of the left one"),
        ({"bottom": "20"}, "must lie below the top"),
        ({"kind": "teapot"}, "none of the choices"),
        ({"key": "a key/with slashes"}, None),
    ],
)
def test_a_box_that_cannot_be_read_changes_nothing(signed_in, wrong, sentence):
    session = begin(signed_in, 2)
    before = list(session.boxes.values())
    sent = rows(box("mine", 10, 20) | wrong, act="number")
    answer = signed_in.post(f"{BEGIN}{session.pk}/", sent)
    assert answer.status_code == 422
    assert sentence is None or sentence in answer.content.decode()
    assert signed_in.post(f"{BEGIN}{session.pk}/", sent, headers={"X-Keep": "yes"}).status_code == 422
    assert list(session.boxes.values()) == before
    assert not Specimen.everything.exists()


def test_a_form_without_its_counters_is_no_error_of_ours(signed_in):
    session = begin(signed_in, 2)
    assert signed_in.post(f"{BEGIN}{session.pk}/", {"act": "number"}).status_code == 422
    assert signed_in.post(f"{BEGIN}{session.pk}/", rows(**{"box-TOTAL_FORMS": 9000})).status_code == 422


def test_a_picture_gone_from_the_disk_is_said_and_nothing_is_numbered(signed_in):
    session = begin(signed_in, 2)
    files.original(session.photo.sha256, session.photo.format).unlink()
    answer = signed_in.post(f"{BEGIN}{session.pk}/", rows(*stored(session), act="number"))
    assert answer.status_code == 422
    assert "can&#x27;t be read any more" in answer.content.decode()
    assert not Specimen.everything.exists()


def test_put_away_and_taken_out_again(signed_in):
    session = begin(signed_in, 2)
    number_bottles(session)
    assert signed_in.get(f"{BEGIN}{session.pk}/bin/").status_code == 405
    assert signed_in.post(f"{BEGIN}{session.pk}/bin/").status_code == 302
    assert signed_in.get(f"{BEGIN}{session.pk}/").status_code == 404
    assert Specimen.objects.count() == 2
    assert "Restore" in signed_in.get(BEGIN).content.decode()
    assert signed_in.post(f"{BEGIN}{session.pk}/put-back/").status_code == 302
    assert signed_in.get(f"{BEGIN}{session.pk}/").status_code == 200
    assert signed_in.post(f"{BEGIN}{session.pk}/put-back/").status_code == 404


def test_no_such_shelf_and_a_visitor(signed_in, client):
    assert signed_in.get(f"{BEGIN}999/").status_code == 404
    session = begin(signed_in, 2)
    for path in (BEGIN, f"{BEGIN}{session.pk}/"):
        assert client.get(path).status_code == 302
        assert client.post(path, rows(act="number")).status_code == 302
    assert not Specimen.everything.exists()


# session, owner; the shelf with its picture, boxes, their finds; cards, covers, the axis of years; how many
# still wait
SHELF_PAGE = 9


def test_a_shelf_asks_the_same_however_many_bottles(signed_in, django_assert_max_num_queries):
    session = begin(signed_in, 6)
    number_bottles(session)
    with django_assert_max_num_queries(SHELF_PAGE):
        signed_in.get(f"{BEGIN}{session.pk}/")
    # session, owner, places and sites to choose from, sessions, what still waits, those put away
    with django_assert_max_num_queries(8):
        signed_in.get(BEGIN)
