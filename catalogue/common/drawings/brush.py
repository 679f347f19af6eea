"""The brush: the ruler of all that is listed, on the catalogue's axis, on which years are chosen."""

from catalogue.common.drawings.large_ruler import summed_ruler
from catalogue.common.drawings.ruler import ruler_of, year_band, year_labels
from catalogue.common.drawings.scale import Curve
from catalogue.common.drawings.svg import num
from catalogue.common.drawings.year_axis import BEYOND, WIDTH, YearAxis

# The strip at either end for years beyond the axis, as a share of the width; its style has it too.
EDGE_PCT = 100 * BEYOND / WIDTH


def brush_ruler(axis: YearAxis, curve: Curve, *, chosen: tuple[int, int] | None, words: str) -> str:
    """Pieces a year and, where years are chosen, what lies outside them dimmed.

    `chosen`: first and last year, both among them; one that stands at an end of the axis takes in all that
    lies beyond it. `words`: what a screen reader says of the whole.
    """
    drawn = summed_ruler(axis, curve=curve, words=words) or ruler_of(
        "ruler ruler-large", year_band(axis, "", words), year_labels(axis)
    )
    left, right = _sides(axis, *chosen) if chosen else (0.0, WIDTH)
    off = (
        f'<rect class="brush-off" data-before="" x="0" y="0" width="{num(left / 10)}%" height="100%"/>'
        f'<rect class="brush-off" data-after="" x="{num(right / 10)}%" y="0" '
        f'width="{num((WIDTH - right) / 10)}%" height="100%"/>'
    )
    return f'{drawn}<svg class="brush-over" aria-hidden="true">{off}</svg>'


def _sides(axis: YearAxis, first: int, last: int) -> tuple[float, float]:
    """Where the dimmed part ends on the left, and begins on the right, in units."""
    scale = axis.scale
    left = 0.0 if first <= axis.first else scale.kept(scale.x(first))
    return left, WIDTH if last >= axis.last - 1 else scale.kept(scale.x(last + 1))
