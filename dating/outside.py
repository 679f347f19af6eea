"""A row used outside its region or contents: only its world-wide limits keep their weight, or cut at all."""

from .case import Case
from .constants import ELSEWHERE
from .library import Reference
from .tables import Feature
from .years import Axis, Spans, meet, shape_of_feature, span


def misfits(feature: Feature, case: Case, ref: Reference) -> list[str]:
    """What about the bottle lies outside the row: its region, its contents."""
    out = []
    if not ref.places.region_fits(feature.group, feature.region, case.region):
        out.append(f"the row is for {feature.region}")
    if not ref.places.contents_fit(feature.group, feature.applies_to, case.contents):
        out.append(f"the row is for {feature.applies_to}")
    return out


def world_wide(feature: Feature) -> Spans:
    """The years that a row leaves outside its region: only its world-wide limits hold there."""
    shape = shape_of_feature(feature)
    return span(
        shape.earliest if feature.world_wide in ("start", "both") else None,
        shape.latest if feature.world_wide in ("end", "both") else None,
    )


def half_outside(heights: tuple[float, ...], within: Spans, axis: Axis) -> tuple[float, ...]:
    """f·(w·t + (1−w)·t̄): f the limits, at full weight, t the row, t̄ its mean within f."""
    firm = [1.0 if meet(((year, year),), within) else 0.0 for year in axis.years]
    room = axis.mean(firm)
    rest = (1 - ELSEWHERE) * axis.mean(heights) / room if room else 0.0
    return tuple(f * (ELSEWHERE * t + rest) for f, t in zip(firm, heights, strict=True))
