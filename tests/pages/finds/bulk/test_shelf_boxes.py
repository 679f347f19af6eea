"""Boxes on a picture: the same bottle twice, the order of reading, inside the picture."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.photos.boxes import overlap, overlapping_pairs, reading_order, with_margin, within

EDGE = st.integers(min_value=0, max_value=900)
SPAN = st.integers(min_value=1, max_value=300)
BOXES = st.builds(lambda x, y, w, h: (x, y, x + w, y + h), EDGE, EDGE, SPAN, SPAN)


@pytest.mark.parametrize(
    ("one", "other", "part"),
    [
        ((0, 0, 10, 10), (0, 0, 10, 10), 1.0),
        ((0, 0, 10, 10), (10, 0, 20, 10), 0.0),
        ((0, 0, 10, 10), (5, 0, 15, 10), 0.5),
        # a small box inside a large one is the same bottle, however little of the large one it fills
        ((0, 0, 100, 100), (40, 40, 50, 50), 1.0),
        ((0, 0, 0, 10), (0, 0, 10, 10), 0.0),
    ],
)
def test_what_two_boxes_share(one, other, part):
    assert overlap(one, other) == pytest.approx(part)
    assert overlap(other, one) == pytest.approx(part)


def test_two_boxes_on_one_bottle_are_named_and_close_neighbours_are_not():
    bottle, again, neighbour = (100, 50, 200, 400), (108, 60, 205, 390), (190, 40, 290, 400)
    assert overlapping_pairs([bottle, neighbour, again]) == [(0, 2)]


def test_read_row_by_row_from_the_left():
    upper = [(300, 20, 360, 200), (10, 60, 80, 205), (150, 0, 220, 202)]
    lower = [(200, 320, 260, 500), (20, 250, 90, 505)]
    boxes = [lower[0], upper[0], upper[1], lower[1], upper[2]]
    assert [boxes[n] for n in reading_order(boxes)] == [upper[1], upper[2], upper[0], lower[1], lower[0]]


@given(st.lists(BOXES, max_size=12))
def test_every_box_is_read_exactly_once(boxes):
    assert sorted(reading_order(boxes)) == list(range(len(boxes)))


@given(BOXES, st.integers(1, 600), st.integers(1, 600))
def test_a_box_brought_inside_lies_inside_and_has_an_inside(box, width, height):
    for left, top, right, bottom in (within(box, width, height), with_margin(box, width, height)):
        assert 0 <= left < right <= width
        assert 0 <= top < bottom <= height


def test_a_margin_leaves_room_around():
    assert with_margin((100, 100, 200, 300), 1000, 1000) == (95, 90, 205, 310)
    assert with_margin((0, 0, 200, 300), 1000, 305) == (0, 0, 210, 305)
