"""How likely each year is, drawn on a scale: a band, or bars for separate candidate years."""

from collections.abc import Sequence

from catalogue.common.drawings.ruler_parts import area, bars, beyond, ends, fading, tidy
from catalogue.common.drawings.scale import Curve, Window, YearScale
from catalogue.common.drawings.svg import num, path, text

_OPEN = (1000, 2999)  # what stands for "without end"; no scale goes so far


def span(first: int | None, last: int | None) -> tuple[tuple[int, float], ...]:
    """Evenly from one year to another; None for without end."""
    start = _OPEN[0] if first is None else first
    stop = _OPEN[1] if last is None else last
    return tuple((year, 1.0) for year in range(start, stop + 1))


def band(
    scale: YearScale,
    curve: Curve,
    years: Sequence[int] | None,
    window: Window,
    base: float,
    height: float,
) -> str:
    """The curve as a band, or a bar per candidate year; empty where there is neither."""
    if years:
        faint = path(area(curve, scale, base=base, height=height), "rule-under") if curve else ""
        found = bars(tuple(years), curve, scale, base=base, height=height)
        return faint + "".join(element for _, _, element in found)
    first, last = window
    curve = tidy(curve)
    if not curve:
        if first is None and last is None:
            return ""
        curve = tidy(span(first, last))
    left, right = ends(curve, scale)
    goes_left, goes_right = beyond(curve, scale)
    dated = first is not None or last is not None
    definition, paint = fading(
        left,
        right,
        goes_left or (dated and first is None),
        goes_right or (dated and last is None),
        "rule-fade",
    )
    data = area(curve, scale, base=base, height=height)
    if not data:
        return arrow(scale, goes_left, base, height)
    if scale.per_year * len([1 for _, value in curve if value > 0]) < 3:
        return path(f"M{num(left - 1)} {num(base)}v-{num(height)}h3v{num(height)}z", "rule-tick")
    return definition + path(data, "rule-fading" if paint else "rule-band", paint)


def arrow(scale: YearScale, left: bool, base: float, height: float) -> str:
    """An arrow at the edge: what is meant lies beyond this scale."""
    x, step = (scale.left + 1, 5) if left else (scale.right - 1, -5)
    middle = base - height / 2
    return path(
        f"M{num(x + step)} {num(middle - 4)}L{num(x)} {num(middle)}L{num(x + step)} {num(middle + 4)}",
        "rule-arrow",
    )


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
