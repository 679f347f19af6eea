"""The lip, one group of the tables, asked as two questions: how it was finished, and which shape it has."""

from collections.abc import Iterable

import dating
from catalogue.pages.parts.choices import FeatureGroup
from dating.lip import LIP, LIP_SHAPES, lip_parts
from dating.tables import Feature

FINISH = FeatureGroup(LIP, "The lip: finish", "How was the lip made?")
LIP_SHAPE = FeatureGroup(LIP_SHAPES, "The lip: shape", "Which shape does the lip have?")
# So many shapes fill a phone's screen; the others come at a touch.
SHAPES_AT_ONCE = 12
# The years in which most bottles that the sea gives up were made: an open side ends there.
FROM_YEAR, TO_YEAR = 1800, 1985


def lip_questions(features: Iterable[Feature]) -> list[tuple[FeatureGroup, list[Feature]]]:
    """Both questions with their answers; of the shapes first what was made for longest: it is met most."""
    made, shapes = lip_parts(features)
    return [(FINISH, made), (LIP_SHAPE, sorted(shapes, key=how_common, reverse=True))]


def how_common(feature: Feature) -> float:
    """Its years, times the share of bottles of its country; every country's counts in full."""
    anywhere = feature.region in ("", "any")
    return years_common(feature) * (1 if anywhere else dating.reference().share_of(feature.region))


def years_common(feature: Feature) -> float:
    """The years under its trapezoid, between 1800 and 1985: the ramps count half."""
    first = max(FROM_YEAR, feature.common_from or feature.earliest or FROM_YEAR)
    last = min(TO_YEAR, feature.common_to or feature.latest or TO_YEAR)
    rise = first - max(FROM_YEAR, feature.earliest or first)
    fall = min(TO_YEAR, feature.latest or last) - last
    return max(0, last - first) + max(0, rise) / 2 + max(0, fall) / 2
