"""The brush of a whole list: a year ruler in level steps, one a year, under two handles that choose years.

It is drawn without a size of its own: across in hundredths of its box, so that lines, words and handles keep
their size on a phone and on a wide screen alike.
"""

from collections.abc import Sequence

from catalogue.common.drawings.scale import Curve, YearScale
from catalogue.common.drawings.svg import esc, num

BAND_HEIGHT = 100.0
# Thousandths of the width that a year in words needs on a wide screen and on a phone.
WIDE_APART, SLIM_APART = 90, 200


def brush_ruler(scale: YearScale, curve: Curve, *, chosen: tuple[int, int] | None, words: str) -> str:
    """The band of pieces a year and, where years are chosen, what lies outside them dimmed.

    `chosen`: first and last year, both among them. `words`: what a screen reader says of the whole.
    """
    years = scale.last - scale.first
    body = [_line(scale, year) for year in _labelled(scale, WIDE_APART)]
    body.append(
        f'<svg class="brush-band" viewBox="0 0 {years} {num(BAND_HEIGHT)}" preserveAspectRatio="none" '
        f'aria-hidden="true"><path class="rule-band" d="{steps(scale, curve)}"/></svg>'
    )
    first, last = chosen or (scale.first, scale.last - 1)
    left, right = _part(scale, first), _part(scale, last + 1)
    body.append(f'<rect class="brush-off" data-before="" x="0" y="0" width="{left}%" height="100%"/>')
    body.append(
        f'<rect class="brush-off" data-after="" x="{right}%" y="0" width="{num(100 - float(right))}%" '
        f'height="100%"/>'
    )
    return (
        f'<svg class="brush-drawn" role="img"><title>{esc(words)}</title>{"".join(body)}</svg>'
        + _words(scale, WIDE_APART, "wide")
        + _words(scale, SLIM_APART, "slim")
    )


def strip(scale: YearScale, curve: Curve, *, words: str) -> str:
    """The same band alone, for a line in a list."""
    return (
        f'<svg class="ruler-strip" viewBox="0 0 {scale.last - scale.first} {num(BAND_HEIGHT)}" '
        f'preserveAspectRatio="none" role="img"><title>{esc(words)}</title>'
        f'<path class="rule-band" d="{steps(scale, curve)}"/></svg>'
    )


def steps(scale: YearScale, curve: Curve) -> str:
    """Path data: a level step for each year, in years across and hundredths of the highest upward."""
    heights = {year: max(0.0, height) for year, height in curve if scale.first <= year < scale.last}
    top = max(heights.values(), default=0.0)
    if top <= 0:
        return ""
    parts, level = [f"M0 {num(BAND_HEIGHT)}"], BAND_HEIGHT
    for year in range(scale.first, scale.last):
        here = BAND_HEIGHT * (1 - heights.get(year, 0.0) / top)
        if abs(here - level) > 0.05:
            parts.append(f"H{year - scale.first}V{num(here)}")
            level = here
    return "".join(parts) + f"H{scale.last - scale.first}V{num(BAND_HEIGHT)}Z"


def _labelled(scale: YearScale, apart: int) -> Sequence[int]:
    """Round years at least so many thousandths of the width from each other."""
    return scale.resized(1000).ticks(apart)


def _part(scale: YearScale, year: int) -> str:
    return num(min(100.0, max(0.0, 100 * (year - scale.first) / (scale.last - scale.first))))


def _line(scale: YearScale, year: int) -> str:
    at = _part(scale, year)
    return f'<line class="rule-line" x1="{at}%" x2="{at}%" y1="0" y2="100%"/>'


def _words(scale: YearScale, apart: int, kind: str) -> str:
    """The row of years below, in its own drawing; two of them, of which the style shows one."""
    labels = []
    for year in _labelled(scale, apart):
        at = _part(scale, year)
        anchor = "start" if float(at) < 3 else "end" if float(at) > 97 else "middle"
        labels.append(f'<text class="rule-label" x="{at}%" y="14" text-anchor="{anchor}">{year}</text>')
    return f'<svg class="brush-years brush-{kind}" aria-hidden="true">{"".join(labels)}</svg>'
