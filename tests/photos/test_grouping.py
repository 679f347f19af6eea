"""Pictures of a card proposed as pieces: by tags, by pauses, by order."""

from datetime import datetime, timedelta
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.card_grouping import (
    CardShot,
    GroupReason,
    in_order,
    propose,
    tag_key,
)

START = datetime(2026, 8, 14, 10, 0, 0)


class Card:
    """A card being shot: each call takes pictures a while after the last."""

    def __init__(self) -> None:
        self.keys, self.now, self.shots = count(1), START, []

    def take(self, after: float, **given) -> CardShot:
        self.now += timedelta(seconds=after)
        key = next(self.keys)
        given = {"when": self.now, "name": f"IMG_{key:04}.jpg"} | given
        self.shots.append(CardShot(key=key, **given))
        return self.shots[-1]

    def piece(self, tag: str = "", pictures: int = 4, pause: float = 90, **given) -> list[int]:
        """The tag's picture, then the piece; keys of all of them."""
        first = self.take(pause, codes=(tag,) if tag else (), **given)
        return [first.key, *(self.take(8).key for _ in range(pictures))]


@pytest.fixture
def card() -> Card:
    return Card()


def keys(groups) -> list[list[int]]:
    return [group.keys for group in groups]


def test_a_tag_begins_a_piece_and_what_follows_belongs_to_it(card):
    pieces = [card.piece(f"T-{n}") for n in (65, 66, 67)]
    groups = propose(card.shots)
    assert keys(groups) == pieces
    assert [(group.code, group.why) for group in groups] == [
        (f"T-{n}", GroupReason.TAG) for n in (65, 66, 67)
    ]


def test_a_tag_that_could_not_be_read_is_found_by_its_pause(card):
    pieces = [card.piece(tag) for tag in ("T-65", "T-66", "", "T-68", "T-69")]
    groups = propose(card.shots)
    assert keys(groups) == pieces
    assert (groups[2].code, groups[2].why, groups[2].pause_s) == ("", GroupReason.PAUSE, 90)


def test_a_blurred_tag_that_is_seen_says_so(card):
    pieces = [card.piece("T-65"), card.piece("T-66"), card.piece("T-67"), card.piece(unread=True)]
    groups = propose(card.shots)
    assert keys(groups) == pieces
    assert groups[3].why is GroupReason.UNREAD


def test_a_code_on_the_piece_itself_begins_nothing(card):
    for tag in ("T-65", "T-66", "T-67"):
        card.piece(tag)
    card.take(8, unread=True)  # no pause before it: a picture of the same piece
    assert len(propose(card.shots)) == 3


def test_where_no_tag_can_be_read_every_blurred_one_begins_a_piece(card):
    pieces = [card.piece(unread=True, pause=20) for _ in range(3)]
    assert keys(propose(card.shots)) == pieces


def test_pauses_that_say_nothing_split_nothing(card):
    """Somebody who takes as long between pictures as between pieces."""
    for tag in ("T-65", "T-66", "T-67", "T-68"):
        card.take(20, codes=(tag,))
        for after in (18, 22, 25):
            card.take(after)
    assert [group.code for group in propose(card.shots)] == ["T-65", "T-66", "T-67", "T-68"]


def test_without_any_tag_long_pauses_part_the_pieces(card):
    pieces = [card.piece(pause=pause) for pause in (0, 120, 300)]
    groups = propose(card.shots)
    assert keys(groups) == pieces
    assert [group.why for group in groups] == [GroupReason.START, GroupReason.PAUSE, GroupReason.PAUSE]


def test_without_tags_and_without_times_all_stay_together(card):
    for _ in range(6):
        card.take(0, when=None)
    assert keys(propose(card.shots)) == [[1, 2, 3, 4, 5, 6]]


def test_pictures_before_the_first_tag_are_apart(card):
    boat = [card.take(5).key, card.take(5).key]
    piece = card.piece("T-65")
    assert [(g.why, g.keys) for g in propose(card.shots)] == [
        (GroupReason.START, boat),
        (GroupReason.TAG, piece),
    ]


def test_the_same_tag_again_leads_back_to_its_piece(card):
    first, second = card.piece("T-65"), card.piece("T-66")
    again = card.piece("T65")
    groups = propose(card.shots)
    assert keys(groups) == [first + again, second]


def test_several_tags_in_one_picture_begin_nothing_and_break_nothing(card):
    piece = card.piece("T-65", pictures=2)
    crate = card.take(8, codes=("T-65", "T-66", "T-67")).key
    piece.append(card.take(8).key)
    groups = propose(card.shots)
    assert [(g.why, g.keys) for g in groups] == [(GroupReason.TAG, piece), (GroupReason.SEVERAL, [crate])]


def test_one_out_of_order_is_put_right_by_its_time_or_by_its_name(card):
    pieces = [card.piece(f"T-{n}") for n in (65, 66, 67)]
    shots = card.shots[:]
    shots.insert(0, shots.pop(7))  # it came first, but says when it was taken
    assert keys(propose(shots)) == pieces
    lost = shots.index(next(shot for shot in shots if shot.key == 8))
    shots[lost] = CardShot(key=8, name="IMG_0008.jpg")  # it says nothing but its number
    assert keys(propose(shots)) == pieces


def test_numbers_in_names_are_read_as_numbers():
    names = ["img_10.jpg", "IMG_9.jpg", "img_100.jpg", "", "b.jpg"]
    shots = [CardShot(key=n, name=name) for n, name in enumerate(names)]
    assert [shot.name for shot in in_order(shots)] == ["", "b.jpg", "IMG_9.jpg", "img_10.jpg", "img_100.jpg"]


def test_pictures_that_come_later_join_what_is_sorted_already(card):
    card.piece("T-65")
    card.piece("T-66")
    groups = {1: "T-65", 2: "T-66"}
    settled = [
        CardShot(s.key, s.name, s.when, s.codes, group=1 if s.key <= 5 else 2, by_hand=s.key == 3)
        for s in card.shots
    ]
    more = [CardShot(90, "IMG_0003b.jpg", settled[3].when + timedelta(seconds=1))]  # among those of T-65
    more += [CardShot(91, "x.jpg", START + timedelta(hours=2), ("t 66",)), CardShot(92, "y.jpg")]
    found = propose([*settled, *more], groups=groups)
    assert sorted((group.group, group.keys) for group in found) == [(1, [90]), (2, [91, 92])]


def test_a_picture_moved_by_hand_draws_no_others_after_it(card):
    card.piece("T-65", pictures=1)
    moved = CardShot(50, "z.jpg", START + timedelta(seconds=200), group=7, by_hand=True)
    settled = [CardShot(s.key, s.name, s.when, s.codes, group=1) for s in card.shots]
    new = CardShot(51, "z2.jpg", START + timedelta(seconds=201))
    found = propose([*settled, moved, new], groups={1: "T-65", 7: ""})
    assert [(group.group, group.keys) for group in found] == [(1, [51])]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("T-65", "t65", True),
        ("T 065", "T-65", True),
        ("K17", "k 17", True),
        ("T-65", "T-66", False),
        ("T-650", "T-65", False),
        ("2026.14.3", "2026.14.4", False),
        ("T-0", "T-00", True),
    ],
)
def test_one_tag_in_several_writings(one, other, same):
    assert (tag_key(one) == tag_key(other)) is same


SHOTS = st.lists(
    st.builds(
        dict,
        name=st.text(max_size=6),
        when=st.none() | st.integers(0, 9999).map(lambda s: START + timedelta(seconds=s)),
        codes=st.lists(st.sampled_from(["T-1", "t1", "T-2", "2026.1.1"]), max_size=2).map(tuple),
        unread=st.booleans(),
        group=st.none() | st.sampled_from([1, 2]),
        by_hand=st.booleans(),
    ),
    max_size=30,
)


@settings(max_examples=200)
@given(SHOTS)
def test_every_picture_without_a_group_is_proposed_once_and_no_other(rows):
    shots = [CardShot(key=key, **row) for key, row in enumerate(rows)]
    found = propose(shots, groups={1: "T-1", 2: ""})
    proposed = [key for group in found for key in group.keys]
    assert sorted(proposed) == [shot.key for shot in shots if shot.group is None]
    assert all(group.keys for group in found)
    assert keys(propose(reversed(shots), groups={1: "T-1", 2: ""})) == keys(found)
