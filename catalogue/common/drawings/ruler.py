"""The year ruler: decades as a scale, how likely each year is as a band, reasons as lanes below it."""

from collections.abc import Sequence

from catalogue.common.drawings.ruler_parts import (
    LETTER_WIDTH,
    RulerLane,
    area,
    band,
    best_year,
    draw_lane,
    line,
)
from catalogue.common.drawings.scale import Curve, YearBounds, YearScale
from catalogue.common.drawings.svg import drawing, path, text

# Widths of the large ruler; the style sheet shows the one that has room.
WIDE_WIDTH, NARROW_WIDTH = 640.0, 340.0


def small_ruler(
    scale: YearScale,
    *,
    curve: Curve = (),
    years: Sequence[int] | None = None,
    window: YearBounds = (None, None),
    words: str = "not yet dated",
    labels: bool = True,
) -> str:
    """For a card: a band or candidate years on a thin scale; about 180 units wide.

    ``curve`` has a height per year (any unit), ``years`` are separate candidates, ``window`` tells which
    side is open. Without any of them the scale is drawn empty.
    """
    base, height = 19.0, 15.0
    body = [line(scale.x(year), base, scale.x(year), base + 3, "rule-line") for year in scale.ticks(7)]
    drawn = band(scale, curve, years, window, base, height)
    axis = "rule-axis" if drawn else "rule-axis rule-empty"
    body += [drawn, line(scale.left, base, scale.right, base, axis)]
    if labels:
        body += [
            text(x, base + 14, year, "rule-label", 10.5, anchor=at) for year, x, at in _end_labels(scale)
        ]
    return drawing(
        scale.right,
        base + (17 if labels else 4),
        "".join(body),
        words=f"Year ruler: {words}",
        kind="ruler ruler-small",
    )


def large_ruler(
    scale: YearScale,
    *,
    curve: Curve = (),
    years: Sequence[int] | None = None,
    window: YearBounds = (None, None),
    best: int | None = None,
    lanes: Sequence[RulerLane] = (),
    words: str = "not yet dated",
    narrow: bool = False,
) -> str:
    """For a find's page: the band, the best year, and a lane for each reason, its words above its bar."""
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


def large_rulers(
    scale: YearScale,
    *,
    curve: Curve = (),
    years: Sequence[int] | None = None,
    window: YearBounds = (None, None),
    best: int | None = None,
    lanes: Sequence[RulerLane] = (),
    words: str = "not yet dated",
) -> str:
    """Both widths of the large ruler in one box; the style sheet shows the one that fits."""
    pair = (
        large_ruler(
            scale, curve=curve, years=years, window=window, best=best, lanes=lanes, words=words, narrow=narrow
        )
        for narrow in (True, False)
    )
    return f'<div class="rulers">{"".join(pair)}</div>'


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


def _end_labels(scale: YearScale) -> list[tuple[int, float, str]]:
    """Two to five round years of a small scale: centuries on a long one, decades on a short one."""
    chosen = scale.ticks(scale.width / 5)
    for step in (100, 50, 20):
        rounder = list(range(-(-scale.first // step) * step, scale.last + 1, step))
        if 2 <= len(rounder) <= 5 and scale.per_year * step >= 32:
            chosen = rounder
            break
    placed = []
    for year in chosen:
        x = scale.x(year)
        at = "start" if x < scale.left + 12 else "end" if x > scale.right - 12 else "middle"
        placed.append((year, x, at))
    return placed


def _spoken(words: str, best: int | None, lanes: Sequence[RulerLane]) -> str:
    parts = [f"Year ruler: {words}"]
    if best is not None:
        parts.append(f"most likely {best}")
    if lanes:
        parts.append("reasons: " + "; ".join(lane.label for lane in lanes))
    return ", ".join(parts)
