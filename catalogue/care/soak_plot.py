"""A soak's readings as a time series, its axes in the unit of the readings and in days or hours.

Everything stands by percent of its box, and the line is stretched to it, so that words keep the size of text
on a phone and on a wide screen alike.
"""

import math
from collections.abc import Callable, Sequence
from datetime import datetime

from django.utils.safestring import SafeString, mark_safe

from catalogue.care.models import Soak
from catalogue.common.drawings.svg import esc, num
from catalogue.common.localisation import clock_words, day_words

BOX = 1000.0  # units of the stretched line in both directions
MOST_MOMENTS = 5  # along the foot
MOST_VALUES = 6  # up the side
A_DAY_S, AN_HOUR_S = 86_400.0, 3_600.0
STEPS_OF_DAYS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
STEPS_OF_HOURS = (1, 2, 3, 6, 12, 24, 48)


def plot_of(soak: Soak) -> SafeString:
    """The readings on a logarithmic scale, for salt falls by shares; empty with fewer than two."""
    rows = [(r.at, float(r.value), r.changed_water) for r in soak.readings.all() if r.value is not None]
    if len(rows) < 2:
        return SafeString("")
    unit = soak.get_unit_display()
    tap = float(soak.tap) if soak.tap is not None else None
    values = [value for _, value, _ in rows] + ([tap] if tap is not None else [])
    scale = _value_scale(values)
    begin, end = rows[0][0], rows[-1][0]
    span = max(1.0, (end - begin).total_seconds())
    moments, moments_in = _moments(span)
    since = f"{moments_in} since {day_words(begin, year=False)}"
    if moments_in == "hours":
        since += f", {clock_words(begin)}"

    def x(at: datetime) -> float:
        share: float = (at - begin).total_seconds() / span
        return BOX * share

    def y(value: float) -> float:
        low, high = math.log10(scale[0]), math.log10(scale[-1])
        return BOX * (1 - (math.log10(max(scale[0], value)) - low) / (high - low))

    grid = "".join(f"M0 {num(y(value))}H{num(BOX)}" for value in scale)
    line = " ".join(f"{num(x(at))},{num(y(value))}" for at, value, _ in rows)
    tap_line = tap_words = ""
    if tap is not None:
        tap_line = f'<path class="plot-tap" d="M0 {num(y(tap))}H{num(BOX)}"/>'
        tap_words = f'<text x="2%" y="{num(y(tap) / 10)}%" dy="-.3em">tap {tap:g}</text>'
    dots = "".join(
        f'<circle class="plot-dot{" changed" if changed else ""}" cx="{num(x(at) / 10)}%" '
        f'cy="{num(y(value) / 10)}%" r="{4 if changed else 3}"/>'
        for at, value, changed in rows
    )
    tap_words = (
        f'<text x="2%" y="{num(y(tap) / 10)}%" dy="-.3em">tap {tap:g}</text>' if tap is not None else ""
    )
    words = f"{len(rows)} readings over {_span_words(span)}, from {rows[0][1]:g} to {rows[-1][1]:g} {unit}"
    # safe: the numbers are ours, the words are escaped
    return mark_safe(
        f'<div class="plot"><p class="plot-unit">{esc(unit)}</p>'
        f'<svg class="plot-values" aria-hidden="true">{_beside(scale, y)}</svg>'
        f'<svg class="plot-field" role="img"><title>{esc(words)}</title>'
        f'<svg viewBox="0 0 {num(BOX)} {num(BOX)}" preserveAspectRatio="none" aria-hidden="true">'
        f'<path class="plot-grid" d="{grid}"/>{tap_line}<polyline class="plot-line" points="{line}"/></svg>'
        f"{dots}{tap_words}</svg>"
        f'<svg class="plot-moments" aria-hidden="true">{_below(moments, moments_in, span)}</svg>'
        f'<p class="plot-unit">{esc(since)}</p></div>'
    )


def _value_scale(values: Sequence[float]) -> list[float]:
    """Round values round all of these, 1, 2 and 5 of each power of ten, or fewer where they would crowd."""
    low, high = max(1.0, min(values)), max(2.0, *values)
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    for parts in ((1, 2, 5), (1, 3), (1,)):
        every = [part * 10.0**power for power in range(first - 1, last + 2) for part in parts]
        begin = max(value for value in every if value <= low)
        end = min(value for value in every if value >= high and value > begin)
        found = [value for value in every if begin <= value <= end]
        if len(found) <= MOST_VALUES:
            break
    return found


def _moments(span_s: float) -> tuple[list[int], str]:
    """Round days since the beginning, or hours where it took less than two days."""
    unit_s, steps, name = (
        (A_DAY_S, STEPS_OF_DAYS, "days") if span_s >= 2 * A_DAY_S else (AN_HOUR_S, STEPS_OF_HOURS, "hours")
    )
    whole = span_s / unit_s
    step = next((step for step in steps if whole / step < MOST_MOMENTS), steps[-1])
    return list(range(0, int(whole) + 1, step)), name


def _span_words(span_s: float) -> str:
    unit_s, name = (A_DAY_S, "day") if span_s >= 2 * A_DAY_S else (AN_HOUR_S, "hour")
    count = round(span_s / unit_s)
    return f"{count} {name}{'' if count == 1 else 's'}"


def _beside(scale: Sequence[float], y: Callable[[float], float]) -> str:
    """The values at their heights, right-aligned; the outermost are moved in from the edge by the sheet."""
    return "".join(
        f'<text x="100%" y="{num(y(value) / 10)}%" dy=".35em" text-anchor="end">{value:,.0f}</text>'
        for value in scale
    )


def _below(moments: Sequence[int], moments_in: str, span_s: float) -> str:
    """The days or hours below their places."""
    unit_s = A_DAY_S if moments_in == "days" else AN_HOUR_S
    return "".join(
        f'<text x="{num(100 * moment * unit_s / span_s)}%" y="1.1em" text-anchor="middle">{moment}</text>'
        for moment in moments
    )
