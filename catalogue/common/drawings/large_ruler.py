"""The large year ruler: a find's years with a lane for each reason, those of many finds, and the brush.

The brush is the ruler of all that is listed, on the catalogue's axis, on which years are chosen.
"""

from collections.abc import Sequence
from typing import NamedTuple

from catalogue.common.drawings.ruler import (
    STEPS,
    band,
    broken_where_passed,
    candidates,
    placed,
    ruler_of,
    words_in_steps,
    year_band,
    year_labels,
)
from catalogue.common.drawings.svg import esc, num, path
from catalogue.common.drawings.year_axis import BEYOND, WIDTH, Curve, YearAxis, YearBounds
from catalogue.common.drawings.year_curve import area, clean_curve

# The strip at either end for years beyond the axis, as a share of the width; its style has it too.
EDGE_PCT = 100 * BEYOND / WIDTH
AS_LIKELY = 0.98  # of the highest year: where another year is as likely as this, none of them is marked


class RulerLane(NamedTuple):
    """One reason: its words, its shape over the years (0 to 1), whether it counts less, and open sides."""

    label: str
    curve: Curve
    soft: bool = False
    open_left: bool = False
    open_right: bool = False


class RulerYears(NamedTuple):
    """What a large ruler shows of one find: its years, the best of them, the reasons, all of it in words."""

    curve: Curve = ()
    years: Sequence[int] | None = None
    window: YearBounds = (None, None)
    best: int | None = None
    lanes: Sequence[RulerLane] = ()
    words: str = "not yet dated"

    def axis(self, axis: YearAxis) -> YearAxis:
        """The catalogue's axis, its ends opened where these years lie beyond them."""
        opened = axis.holding(self.curve, window=self.window, years=self.years or ())
        return broken_where_passed(opened, self.curve, self.years)


def large_ruler(axis: YearAxis, shown: RulerYears) -> str:
    """For a find's page: candidate years or the likeliest one in words, the band, the axis in words.

    Empty where nothing dates it. Its reasons stand below it (`year_lanes`).
    """
    curve, years, window, best, _, words = shown
    axis = shown.axis(axis)
    drawn = band(axis, curve, years, window)
    if not drawn:
        return ""
    marked = _marked(axis, curve, years, best)
    one_year = window[0] is not None and window[0] == window[1]
    spoken = f"{words}, most likely {best}" if marked and not years and not one_year else words
    return ruler_of("ruler ruler-large", _above(marked), year_band(axis, drawn, spoken), year_labels(axis))


def _marked(
    axis: YearAxis, curve: Curve, years: Sequence[int] | None, best: int | None
) -> list[tuple[int, float]]:
    """The years in words above the band, each with its x: every candidate, or the one that stands out."""
    scale = axis.scale
    if years:
        found = [(year, x) for year, x, _ in candidates(tuple(years), curve, scale)]
        return sorted(found, key=lambda each: (each[0] != best, each[0]))
    if best is None or not scale.first <= best < scale.last or not _stands_out(curve, best):
        return []
    return [(best, scale.middle(best))]


def _stands_out(curve: Curve, best: int) -> bool:
    """Whether no other year is as likely: level years have no best one."""
    heights = dict(clean_curve(curve))
    top = heights.get(best, 0.0)
    return top > 0 and all(value < AS_LIKELY * top for year, value in heights.items() if year != best)


def _above(marked: Sequence[tuple[int, float]]) -> str:
    if not marked:
        return ""
    words = words_in_steps({step: placed(marked, step) for step in STEPS})
    return f'<svg class="ruler-above" aria-hidden="true">{words}</svg>'


def year_lanes(axis: YearAxis, shown: RulerYears) -> str:
    """The reasons of a large ruler: the words of each, its years on the same axis, and that in words."""
    axis = shown.axis(axis)
    lanes = "".join(_lane(axis, lane) for lane in shown.lanes)
    return ruler_of("ruler", f'<ul class="lanes">{lanes}</ul>', year_labels(axis)) if lanes else ""


def _lane(axis: YearAxis, lane: RulerLane) -> str:
    window = _sides(lane)
    drawn = band(axis, lane.curve, None, window) if clean_curve(lane.curve) else ""
    kind = ' class="lane-soft"' if lane.soft else ""
    return f"<li{kind}><span>{esc(lane.label)}</span>{year_band(axis, drawn, '')}</li>"


def _sides(lane: RulerLane) -> YearBounds:
    """The ends of a lane as a window, so that an open side of it fades like that of a band."""
    points = clean_curve(lane.curve)
    if not points:
        return None, None
    first, last = points[0][0], points[-1][0]
    return None if lane.open_left else first, None if lane.open_right else last


def summed_ruler(axis: YearAxis, *, curve: Curve, words: str, large: bool = True, labels: bool = True) -> str:
    """For a site, town or maker: the finds that each year can expect, added up; empty where none is dated.

    `large`: in the height of a find's own ruler, else of a row's. `labels`: the axis in words below it.
    """
    data = area(curve, axis.scale, level=True)
    if not data:
        return ""
    axis = broken_where_passed(axis, curve)
    drawn = year_band(axis, path(data, "rule-band"), words)
    return ruler_of("ruler ruler-large" if large else "ruler", drawn, year_labels(axis) if labels else "")


def brush_ruler(axis: YearAxis, curve: Curve, *, chosen: tuple[int, int] | None, words: str) -> str:
    """Pieces a year and, where years are chosen, what lies outside them dimmed.

    `chosen`: first and last year, both among them; one that stands at an end of the axis takes in all that
    lies beyond it. `words`: what a screen reader says of the whole.
    """
    drawn = summed_ruler(axis, curve=curve, words=words) or ruler_of(
        "ruler ruler-large", year_band(axis, "", words), year_labels(axis)
    )
    left, right = _dimmed_sides(axis, *chosen) if chosen else (0.0, WIDTH)
    off = (
        f'<rect class="brush-off" data-before="" x="0" y="0" width="{num(left / 10)}%" height="100%"/>'
        f'<rect class="brush-off" data-after="" x="{num(right / 10)}%" y="0" '
        f'width="{num((WIDTH - right) / 10)}%" height="100%"/>'
    )
    return f'{drawn}<svg class="brush-over" aria-hidden="true">{off}</svg>'


def _dimmed_sides(axis: YearAxis, first: int, last: int) -> tuple[float, float]:
    """Where the dimmed part ends on the left, and begins on the right, in units."""
    scale = axis.scale
    left = 0.0 if first <= axis.first else scale.kept(scale.x(first))
    return left, WIDTH if last >= axis.last - 1 else scale.kept(scale.x(last + 1))
