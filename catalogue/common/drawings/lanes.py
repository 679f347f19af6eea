"""A lane of the year ruler: one reason, its words above a bar in the shape of its evidence."""

from typing import NamedTuple

from catalogue.common.drawings.band import arrow, span
from catalogue.common.drawings.ruler_parts import area, beyond, ends, fading
from catalogue.common.drawings.scale import Curve, YearScale
from catalogue.common.drawings.svg import path, text

LETTER = 0.54  # a letter's width as a part of its size, sans serif, rounded up


class Lane(NamedTuple):
    """One reason: its words, its shape over the years (0 to 1), whether it counts less, and open sides."""

    label: str
    curve: Curve
    soft: bool = False
    open_left: bool = False
    open_right: bool = False


def range_lane(label: str, first: int | None, last: int | None, *, soft: bool = False) -> Lane:
    """A lane that is simply there from one year to another; None leaves that side open."""
    return Lane(label, span(first, last), soft, first is None, last is None)


def draw_lane(scale: YearScale, lane: Lane, y: float, size: float) -> str:
    """Words, and below them a bar in the shape of the evidence."""
    left, right = ends(lane.curve, scale)
    goes_left, goes_right = beyond(lane.curve, scale)
    kind = "lane-soft" if lane.soft else "lane"
    definition, paint = fading(
        left, right, goes_left or lane.open_left, goes_right or lane.open_right, f"{kind}-fade"
    )
    bar = y + size + 13
    label, x = _placed(lane.label, left, scale, size)
    data = area(lane.curve, scale, base=bar, height=9.0, peak=1.0)
    body = (
        path(data, f"{kind}-fading" if paint else kind, paint) if data else arrow(scale, goes_left, bar, 9.0)
    )
    return definition + text(x, y + size + 1, label, "lane-label", size, anchor="start") + body


def _placed(label: str, left: float, scale: YearScale, size: float) -> tuple[str, float]:
    """The label, cut to the scale's width, and its beginning: above its bar, not past the right end."""
    most = int(scale.width / (size * LETTER))
    if len(label) > most:
        label = label[: most - 1].rstrip() + "…"
    return label, max(scale.left, min(left, scale.right - len(label) * size * LETTER))
