"""The year ruler: a band of likely years, candidate years or a fade, drawn on the one axis of the catalogue.

A band is stretched to the width it is given (its strokes are not); the years in words stand in rows of their
own, placed by percent, so that they keep the size of text on a phone and on a wide screen alike. Each row
holds its years in six steps of closeness (`STEPS`), of which the style sheet shows the one that has room.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from catalogue.common.drawings.svg import esc, num, path
from catalogue.common.drawings.year_axis import BEYOND, WIDTH, Curve, YearAxis, YearBounds, YearScale
from catalogue.common.drawings.year_curve import (
    HEIGHT,
    area,
    beyond,
    clean_curve,
    ends,
    even_curve,
    fade_gradient,
)

UNDATED_RULER = "not yet dated"
_THIN = 6.0  # units: what is narrower is drawn as a stroke, or it could not be seen


class LabelStep(NamedTuple):
    """How close years in words stand from this width on, in rem; `years.css` has the same widths."""

    name: str
    from_rem: float


STEPS = tuple(LabelStep(str(rem), float(rem)) for rem in (8, 12, 18, 25, 33, 45))
LABEL_REM, GAP_REM = 2.3, 0.4  # four digits of the smallest size, bold, in a wide face; between two of them


def small_ruler(
    axis: YearAxis,
    *,
    curve: Curve = (),
    years: Sequence[int] | None = None,
    window: YearBounds = (None, None),
    words: str = UNDATED_RULER,
    labels: bool = True,
) -> str:
    """For a card or a row: a band or candidate years, the axis in words below it unless it stands elsewhere.

    `curve` has a height per year (any unit), `years` are separate candidates, `window` tells which side is
    open. Empty where there is none of them: nothing dated, no ruler.
    """
    drawn = band(axis, curve, years, window)
    if not drawn:
        return ""
    axis = broken_where_passed(axis, curve, years)
    return ruler_of("ruler", year_band(axis, drawn, words), year_labels(axis) if labels else "")


def ruler_of(kind: str, *parts: str) -> str:
    """Bands and rows of words as one ruler; the style sheet asks its width for the step that has room."""
    return f'<div class="{kind}">{"".join(parts)}</div>'


def axis_alone(axis: YearAxis) -> str:
    """The years in words, for rows of bands without words of their own to stand under."""
    return ruler_of("ruler", year_labels(axis))


def broken_where_passed(axis: YearAxis, curve: Curve, years: Sequence[int] | None = None) -> YearAxis:
    """The axis broken also where these years go on past an end, though the catalogue's do not."""
    before, after = beyond(curve, axis.scale)
    return replace(
        axis,
        before=axis.before or before or any(year < axis.first for year in years or ()),
        after=axis.after or after or any(year >= axis.last for year in years or ()),
    )


def year_band(axis: YearAxis, drawn: str, words: str, *, lines: bool = True) -> str:
    """What is drawn upon the axis, the axis itself, and a hairline at each year that stands in words.

    `words`: what a screen reader says; empty where they stand beside it.
    """
    named = f'role="img"><title>Year ruler: {esc(words)}</title>' if words else 'aria-hidden="true">'
    return (
        f'<svg class="ruler-band" viewBox="0 0 {num(WIDTH)} {num(HEIGHT)}" preserveAspectRatio="none" '
        f"{named}{hairlines(axis) if lines else ''}{drawn}{_base(axis)}</svg>"
    )


def _base(axis: YearAxis) -> str:
    """The axis: whole between its ends, dotted where the catalogue has years beyond."""
    left, right = axis.scale.left, axis.scale.right
    beyond = (f"M0 {num(HEIGHT)}H{num(left)}" if axis.before else "") + (
        f"M{num(right)} {num(HEIGHT)}H{num(WIDTH)}" if axis.after else ""
    )
    return path(f"M{num(left)} {num(HEIGHT)}H{num(right)}", "rule-axis") + (
        path(beyond, "rule-broken") if beyond else ""
    )


def hairlines(axis: YearAxis) -> str:
    """A line up from each year in words, in each step."""
    drawn = {
        step: "".join(f"M{num(axis.scale.x(year))} 0V{num(HEIGHT)}" for year, _ in labelled(axis, step))
        for step in STEPS
    }
    return "".join(path(lines, f"rule-line {kinds}") for lines, kinds in _alike(drawn) if lines)


def words_in_steps(placed_in: Mapping[LabelStep, Sequence[tuple[int, float]]]) -> str:
    """Years in words, each with the x of its middle in units, for the step that has room."""
    drawn = {
        step: "".join(f'<text x="{num(x / 10)}%" y="1em">{year}</text>' for year, x in found)
        for step, found in placed_in.items()
    }
    return "".join(f'<g class="{kinds}">{words}</g>' for words, kinds in _alike(drawn))


def _alike(drawn: Mapping[LabelStep, str]) -> list[tuple[str, str]]:
    """What is drawn in the steps, once where it is the same, with the classes of all its steps."""
    kinds: dict[str, list[str]] = {}
    for step, markup in drawn.items():
        kinds.setdefault(markup, []).append(f"ruler-{step.name}")
    return [(markup, " ".join(names)) for markup, names in kinds.items()]


def year_labels(axis: YearAxis) -> str:
    """The row of years in words below a band, or once above many; a break sign at an end that goes on."""
    rows = words_in_steps({step: labelled(axis, step) for step in STEPS})
    ends = (
        f'<g class="ruler-ends"><text class="at-start" x="0" y="1em">{axis.first}</text>'
        f'<text class="at-end" x="100%" y="1em">{axis.last}</text></g>'
    )
    signs = (_break_sign(BEYOND / 2) if axis.before else "") + (
        _break_sign(WIDTH - BEYOND / 2) if axis.after else ""
    )
    return f'<svg class="ruler-labels" aria-hidden="true">{signs}{rows}{ends}</svg>'


def _break_sign(x: float) -> str:
    """Two slanted strokes, as a shortened axis is drawn; not stretched, as it stands by percent."""
    sign = path("M-3 5L-1 -3M1 5L3 -3", "rule-break")
    return f'<svg x="{num(x / 10)}%" overflow="visible" aria-hidden="true">{sign}</svg>'


def labelled(axis: YearAxis, step: LabelStep) -> list[tuple[int, float]]:
    """Round years of the axis that have room at that width, each with where it stands."""
    scale = axis.scale
    apart = (LABEL_REM + GAP_REM) / step.from_rem * WIDTH
    return placed(((year, scale.x(year)) for year in scale.ticks(apart)), step)


def placed(wanted: Iterable[tuple[int, float]], step: LabelStep) -> list[tuple[int, float]]:
    """Of years and where they belong, the earlier named first: those that find room without touching.

    One near an end is moved in from it, so that no word leaves the ruler.
    """
    half = LABEL_REM / 2 / step.from_rem * WIDTH
    room = (LABEL_REM + GAP_REM) / step.from_rem * WIDTH
    found: list[tuple[int, float]] = []
    for year, x in wanted:
        kept = min(max(x, half), WIDTH - half)
        if all(abs(kept - other) >= room for _, other in found):
            found.append((year, kept))
    return found


def band(axis: YearAxis, curve: Curve, years: Sequence[int] | None, window: YearBounds) -> str:
    """The curve as a band, or a stroke per candidate year; empty where there is neither."""
    scale = axis.scale
    if years:
        faint = path(area(curve, scale), "rule-under") if curve else ""
        return faint + "".join(stroke for _, _, stroke in candidates(tuple(years), curve, scale))
    first, last = window
    curve = clean_curve(curve)
    if not curve:
        if first is None and last is None:
            return ""
        curve = clean_curve(even_curve(first, last))
    inside = [year for year, value in curve if value > 0 and scale.first <= year < scale.last]
    goes_left, goes_right = beyond(curve, scale)
    if inside and len(inside) * scale.per_year < _THIN and not (goes_left or goes_right):
        x = (scale.x(inside[0]) + scale.x(inside[-1] + 1)) / 2
        return path(f"M{num(x)} {num(HEIGHT)}V0", "rule-tick")
    left, right = ends(curve, scale)
    dated = first is not None or last is not None
    definition, paint = fade_gradient(left, right, dated and first is None, dated and last is None)
    return definition + path(area(curve, scale), "rule-fading" if paint else "rule-band", paint)


def candidates(years: tuple[int, ...], curve: Curve, scale: YearScale) -> list[tuple[int, float, str]]:
    """A stroke per candidate year, as tall as it is likely: (year, its x, element)."""
    heights = dict(curve)
    tallest = max((heights.get(year, 0.0) for year in years), default=0.0)
    found = []
    for year in years:
        part = max(0.18, heights.get(year, 0.0) / tallest) if tallest > 0 else 1.0
        x = _middle(scale, year)
        data = f"M{num(x)} {num(HEIGHT)}V{num(HEIGHT * (1 - part))}"
        found.append((year, x, path(data, "rule-tick")))
    return found


def _middle(scale: YearScale, year: int) -> float:
    """The middle of a year; of one beyond the axis, the middle of the strip for these."""
    if year < scale.first:
        return scale.left - BEYOND / 2
    return scale.middle(year) if year < scale.last else scale.right + BEYOND / 2
