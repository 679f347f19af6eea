"""The large year ruler: a find's years with a lane for each reason, or the years of many finds summed.

Each in two widths, of which the style sheet shows the one that has room.
"""

from collections.abc import Sequence
from typing import NamedTuple

from catalogue.common.drawings.ruler import area, arrow, band, bars, beyond, ends, fade_gradient, line
from catalogue.common.drawings.scale import Curve, YearBounds, YearScale
from catalogue.common.drawings.svg import drawing, num, path, text

LETTER_WIDTH = 0.54  # a letter's width as a part of its size, sans serif, rounded up

WIDE_WIDTH, NARROW_WIDTH = 640.0, 340.0


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


def large_ruler(scale: YearScale, shown: RulerYears, *, narrow: bool = False) -> str:
    """For a find's page: the band, the best year, and a lane for each reason, its words above its bar."""
    curve, years, window, best, lanes, words = shown
    width, size = (NARROW_WIDTH, 12.5) if narrow else (WIDE_WIDTH, 13.0)
    scale = scale.resized(width - 16, 8)
    top, height = 22.0, 52.0 if narrow else 60.0
    base = top + height
    body: list[str] = []
    foot = base + 24 + len(lanes) * (size + 19)
    ticks = scale.ticks(12)
    labelled = scale.ticks(size * 3.4)
    for year in ticks:
        strong = year in labelled
        body.append(
            line(
                scale.x(year),
                top if strong else base,
                scale.x(year),
                foot if strong else base + 4,
                "rule-line",
            )
        )
    for year in labelled:
        x = min(max(scale.x(year), size * 1.15), width - size * 1.15)
        body.append(text(x, base + size + 4, year, "rule-label", size))
    drawn = band(scale, curve, years, window, base, height)
    body += [
        drawn,
        line(scale.left, base, scale.right, base, "rule-axis" if drawn else "rule-axis rule-empty"),
    ]
    body.append(best_year(scale, curve, years, best, base, height, size))
    y = base + 24.0
    for lane in lanes:
        body.append(draw_lane(scale, lane, y, size))
        y += size + 19
    kind = "ruler ruler-narrow" if narrow else "ruler ruler-wide"
    return drawing(width, foot + 2, "".join(body), words=_spoken(words, best, lanes), kind=kind)


def large_rulers(scale: YearScale, shown: RulerYears) -> str:
    """Both widths of the large ruler in one box; the style sheet shows the one that fits."""
    pair = (large_ruler(scale, shown, narrow=narrow) for narrow in (True, False))
    return f'<div class="rulers">{"".join(pair)}</div>'


def _spoken(words: str, best: int | None, lanes: Sequence[RulerLane]) -> str:
    parts = [f"Year ruler: {words}"]
    if best is not None:
        parts.append(f"most likely {best}")
    if lanes:
        parts.append("reasons: " + "; ".join(lane.label for lane in lanes))
    return ", ".join(parts)


def best_year(
    scale: YearScale,
    curve: Curve,
    years: Sequence[int] | None,
    best: int | None,
    base: float,
    height: float,
    size: float,
) -> str:
    """Years above their bars where there is room, the best one in ink; else a mark at the best year."""
    if years:
        parts: list[tuple[float, str]] = []
        found = bars(tuple(years), curve, scale, base=base, height=height)
        for year, top, _ in sorted(found, key=lambda each: (each[0] != best, each[0])):
            x = scale.middle(year)
            if all(abs(x - other) > size * 2.5 for other, _ in parts):
                kind = "rule-best" if year == best else "rule-label"
                parts.append((x, text(x, top - 4, year, kind, size)))
        return "".join(element for _, element in parts)
    if best is None or not scale.first <= best < scale.last:
        return ""
    x, top = scale.middle(best), base - height
    return path(f"M{num(x - 4)} {num(top - 6)}h8l-4 5z", "rule-point") + text(
        scale.kept(x), top - 9, best, "rule-best", size
    )


def draw_lane(scale: YearScale, lane: RulerLane, y: float, size: float) -> str:
    """Words, and below them a bar in the shape of the evidence."""
    left, right = ends(lane.curve, scale)
    goes_left, goes_right = beyond(lane.curve, scale)
    kind = "lane-soft" if lane.soft else "lane"
    definition, paint = fade_gradient(
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
    most = int(scale.width / (size * LETTER_WIDTH))
    if len(label) > most:
        label = label[: most - 1].rstrip() + "…"
    return label, max(scale.left, min(left, scale.right - len(label) * size * LETTER_WIDTH))


def summed_ruler(
    scale: YearScale,
    *,
    curve: Curve,
    low: Curve = (),
    high: Curve = (),
    marks: Sequence[tuple[int, str]] = (),
    words: str,
    narrow: bool = False,
) -> str:
    """For a site, town or maker: the sum over its finds (finds per year), its envelope, and single dates."""
    width, size = (NARROW_WIDTH, 12.5) if narrow else (WIDE_WIDTH, 13.0)
    scale = scale.resized(width - 16, 8)
    top, height = 10.0 + len(marks) * (size + 4), 70.0
    base = top + height
    peak = max((value for each in (curve, high) for _, value in each), default=0.0)
    labelled = scale.ticks(size * 3.4)
    body = [
        line(scale.x(year), top if year in labelled else base, scale.x(year), base + 4, "rule-line")
        for year in scale.ticks(12)
    ]
    for year in labelled:
        x = min(max(scale.x(year), size * 1.15), width - size * 1.15)
        body.append(text(x, base + size + 5, year, "rule-label", size))
    if peak > 0:
        if high:
            body.append(
                path(area(high, scale, base=base, height=height, peak=peak, level=True), "rule-envelope")
            )
        body.append(path(area(curve, scale, base=base, height=height, peak=peak, level=True), "rule-band"))
        if low:
            body.append(path(area(low, scale, base=base, height=height, peak=peak, level=True), "rule-band"))
    body.append(line(scale.left, base, scale.right, base, "rule-axis"))
    for place, (year, label) in enumerate(marks):
        y = 10.0 + (place + 1) * (size + 4) - 6
        body.append(_flag(scale, year, label, y, base, size))
    kind = "ruler ruler-narrow" if narrow else "ruler ruler-wide"
    spoken = "; ".join([words, *(f"{label}: {year}" for year, label in marks)])
    return drawing(width, base + size + 9, "".join(body), words=f"Year ruler: {spoken}", kind=kind)


def summed_rulers(
    scale: YearScale,
    *,
    curve: Curve,
    low: Curve = (),
    high: Curve = (),
    marks: Sequence[tuple[int, str]] = (),
    words: str,
) -> str:
    """Both widths of the summed ruler in one box."""
    pair = (
        summed_ruler(scale, curve=curve, low=low, high=high, marks=marks, words=words, narrow=narrow)
        for narrow in (True, False)
    )
    return f'<div class="rulers">{"".join(pair)}</div>'


def _flag(scale: YearScale, year: int, label: str, y: float, base: float, size: float) -> str:
    x = scale.kept(scale.middle(year))
    words = f"{label} {year}"
    at_left = x + 5 + len(words) * size * LETTER_WIDTH > scale.right
    return line(x, y - size * 0.7, x, base, "rule-flag") + text(
        x - 5 if at_left else x + 5, y, words, "rule-best", size, anchor="end" if at_left else "start"
    )
