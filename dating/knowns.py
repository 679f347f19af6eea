"""Evidence from years known from elsewhere: a directory, a dated event, a law."""

from .axis import Axis
from .case import Known
from .constants import CIRCA, FIRM
from .evidence import Piece, likelihood, weigh
from .shapes import of_years
from .spans import of_years as spans_of


def known_piece(known: Known, axis: Axis) -> Piece:
    """A box of years (circa adds ramps of 5 years, a firm's lifetime of 10), or separate years."""
    ramp = FIRM if known.of_firm else 0
    shape = of_years(
        known.start,
        known.end,
        max(ramp, CIRCA if known.start_circa else 0),
        max(ramp, CIRCA if known.end_circa else 0),
    )
    heights, support = shape.over(axis), shape.support
    if known.years:
        heights = tuple(float(year in known.years) for year in axis.years)
        support = spans_of(known.years)
    weight, why = weigh(known.certainty, "own", [])
    return Piece(
        "known",
        f"{known.what}|{known.start}|{known.end}",
        known.what[:1].upper() + known.what[1:],
        "",
        known.certainty,
        weight,
        why,
        known.source,
        heights,
        likelihood(heights, weight, axis),
        support,
        coded=len(known.years) > 1,
    )
