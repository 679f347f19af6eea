"""Bounding boxes of bottles in one picture: which overlap on the same bottle, and their reading order."""

from collections.abc import Sequence
from itertools import combinations

Corners = tuple[int, int, int, int]
"""Left, top, right, bottom in pixels; right and bottom just outside."""

# How much of the smaller box lies in the other before they are taken for one bottle. Bottles that stand
# close overlap by their shoulders at most; a value of our own, tried on drawn shelves.
SAME_BOTTLE = 0.6


def area(box: Corners) -> int:
    return max(0, box[2] - box[0]) * max(0, box[3] - box[1])


def overlap(a: Corners, b: Corners) -> float:
    """The part of the smaller box that lies in the other, 0 to 1."""
    common = (max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3]))
    smaller = min(area(a), area(b))
    return area(common) / smaller if smaller else 0.0


def overlapping_pairs(boxes: Sequence[Corners]) -> list[tuple[int, int]]:
    """Pairs of places in `boxes` that seem to hold the same bottle."""
    return [(i, j) for (i, a), (j, b) in combinations(enumerate(boxes), 2) if overlap(a, b) >= SAME_BOTTLE]


def reading_order(boxes: Sequence[Corners]) -> list[int]:
    """Places in `boxes` row by row from the top, each row from the left.

    A box belongs to the row whose first box it stands beside: its middle lies between that box's top and
    bottom.
    """
    rows: list[list[int]] = []
    for place in sorted(range(len(boxes)), key=lambda n: (boxes[n][3], boxes[n][0])):
        middle = (boxes[place][1] + boxes[place][3]) / 2
        row = next((r for r in rows if boxes[r[0]][1] <= middle <= boxes[r[0]][3]), None)
        if row is None:
            rows.append([place])
        else:
            row.append(place)
    return [place for row in rows for place in sorted(row, key=lambda n: boxes[n][0])]


def within(box: Corners, width: int, height: int) -> Corners:
    """The part of a box inside the picture, at least one pixel each way."""
    left, top = min(max(0, box[0]), width - 1), min(max(0, box[1]), height - 1)
    return left, top, min(max(left + 1, box[2]), width), min(max(top + 1, box[3]), height)


def with_margin(box: Corners, width: int, height: int, part: float = 0.05) -> Corners:
    """A little room around it, so that a lip marked too tightly is not cut off."""
    across, down = round((box[2] - box[0]) * part), round((box[3] - box[1]) * part)
    return within((box[0] - across, box[1] - down, box[2] + across, box[3] + down), width, height)
