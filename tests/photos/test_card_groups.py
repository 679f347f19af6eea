"""The groups of a camera's card: proposed, changed by a person, numbered by their first picture."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from catalogue.photos.card_grouping import GroupReason
from catalogue.photos.models import CardGroup, CardPicture
from catalogue.photos.services import cards
from catalogue.sites.models import Dive
from tests import factories as make

START = datetime(2026, 8, 14, 10, tzinfo=UTC)


@pytest.fixture
def dive(db) -> Dive:
    return make.dive()


def shot(dive: Dive, number: int, code: str = "", seconds: int | None = None) -> CardPicture:
    """A row of a card without its file; a minute and a half before each tag, five seconds after."""
    when = START + timedelta(seconds=90 * number if seconds is None else seconds)
    return CardPicture.objects.create(
        dive=dive,
        sha256=f"{number:064x}",
        format="JPEG",
        bytes=1,
        width=10,
        height=10,
        original_name=f"IMG_{number:04}.jpg",
        taken_at=when,
        codes=code,
    )


def tagged_card(dive: Dive) -> list[CardPicture]:
    """Two pieces: a tag and two pictures each."""
    rows = [(0, "T-1"), (5, ""), (10, ""), (100, "T-2"), (105, ""), (110, "")]
    shots = [shot(dive, number, code, seconds) for number, (seconds, code) in enumerate(rows, start=1)]
    cards.sort_card(dive)
    return shots


def names(groups: Sequence[CardGroup]) -> list[list[str]]:
    return [[picture.original_name[4:8] for picture in group.pictures.all()] for group in groups]


def test_a_tag_begins_a_piece_and_the_groups_are_numbered(dive):
    tagged_card(dive)
    groups = list(dive.card_groups.all())
    assert [(group.place, group.code, group.why) for group in groups] == [
        (1, "T-1", "tag"),
        (2, "T-2", "tag"),
    ]
    assert names(groups) == [["0001", "0002", "0003"], ["0004", "0005", "0006"]]
    assert str(groups[0]) == "T-1"
    assert cards.sort_card(dive) == 0


def test_what_comes_before_the_first_tag_is_taken_for_the_dive_s_own(dive):
    shot(dive, 1, seconds=0)
    shot(dive, 2, "T-1", seconds=200)
    shot(dive, 3, "T-2", seconds=400)
    cards.sort_card(dive)
    first = dive.card_groups.first()
    assert (first.why, first.goes, str(first)) == (GroupReason.START, CardGroup.Goes.DIVE, "group 1")


def test_a_tag_on_record_leads_to_its_find_and_of_two_alike_to_none(dive):
    known = make.find(field_tag="t 1", dive=dive)
    make.find(field_tag="T2")
    make.find(field_tag="T-2")
    tagged_card(dive)
    one, two = dive.card_groups.all()
    assert (one.find, one.goes) == (known, CardGroup.Goes.FIND)
    assert (two.find, two.goes) == (None, CardGroup.Goes.NEW)
    assert set(cards.finds_by_code(["", known.number], dive)) >= {cards.tag_key(known.number)}
    assert cards.finds_by_code([" "], dive) == {}


def test_as_long_as_nobody_changed_it_a_late_tag_sorts_the_card_anew(dive):
    shot(dive, 1, "T-1", seconds=0)
    shot(dive, 3, seconds=100)
    cards.sort_card(dive)
    shot(dive, 2, "T-2", seconds=95)
    cards.sort_card(dive)
    assert names(dive.card_groups.all()) == [["0001"], ["0002", "0003"]]


def test_what_a_person_changed_stays_when_more_arrives(dive):
    shots = tagged_card(dive)
    one, two = dive.card_groups.all()
    assert cards.move_pictures(dive, [shots[2].pk], two) == 1
    shot(dive, 7, seconds=115)
    cards.sort_card(dive)
    assert names(dive.card_groups.all()) == [["0001", "0002"], ["0003", "0004", "0005", "0006", "0007"]]
    cards.start_over(dive)
    assert names(dive.card_groups.all()) == [["0001", "0002", "0003"], ["0004", "0005", "0006", "0007"]]


def test_pictures_get_a_group_of_their_own_and_an_empty_one_goes(dive):
    shots = tagged_card(dive)
    assert cards.move_pictures(dive, [], None) == 0
    keys = [each.pk for each in shots[3:]]
    assert cards.move_pictures(dive, keys, None, goes=CardGroup.Goes.DIVE) == 3
    groups = list(dive.card_groups.all())
    assert [(group.why, group.goes) for group in groups] == [("tag", "new"), ("hand", "dive")]


def test_a_piece_begun_by_hand_takes_what_follows(dive):
    known = make.find(field_tag="T-9", dive=dive)
    shots = tagged_card(dive)
    group = cards.begin_piece(dive, shots[1].pk, "T-9")
    assert (group.find, group.goes) == (known, CardGroup.Goes.FIND)
    assert names(dive.card_groups.all()) == [["0001"], ["0002", "0003"], ["0004", "0005", "0006"]]
    assert cards.begin_piece(dive, shots[5].pk, "T-10").goes == CardGroup.Goes.NEW
    with pytest.raises(CardPicture.DoesNotExist):
        cards.begin_piece(dive, 10**6, "T-11")


def test_a_group_joins_the_one_before_it_and_the_first_stays(dive):
    tagged_card(dive)
    one, two = dive.card_groups.all()
    cards.join_to_earlier(one)
    assert dive.card_groups.count() == 2
    cards.join_to_earlier(two)
    one.refresh_from_db()
    assert one.touched and one.pictures.count() == 6 and dive.card_groups.count() == 1


def test_roles_and_taking_off(dive):
    shots = tagged_card(dive)
    assert cards.set_roles(dive, [shots[0].pk], "base") == 1
    with pytest.raises(ValueError, match="portrait"):
        cards.set_roles(dive, [shots[0].pk], "portrait")
    assert cards.take_off(dive, [each.pk for each in shots[:3]]) == 3
    (group,) = dive.card_groups.all()
    assert (group.code, group.place) == ("T-2", 1)


def test_how_a_picture_of_a_card_is_told(dive):
    picture = shot(dive, 1, "T-1")
    assert (str(picture), picture.of_words(), picture.shows_tag) == (
        "IMG_0001.jpg",
        f"on the card of {dive}",
        True,
    )
