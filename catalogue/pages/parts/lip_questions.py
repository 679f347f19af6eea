"""The lip, one group of the tables, asked as two questions: how it was finished, and which shape it has."""

from collections.abc import Iterable

import dating
from catalogue.pages.parts.choices import FeatureGroup
from dating.tables import Feature

LIP = "finish"  # the group of the tables
FINISH = FeatureGroup(LIP, "The lip: finish", "How was the lip made?")
LIP_SHAPE = FeatureGroup("lip-shape", "The lip: shape", "Which shape does the lip have?")
# What the making left on a lip of whatever shape; every other row of the group is a shape.
HOW_FINISHED = frozenset(
    {
        "applied-finish",
        "applied-finish-au",
        "tooled-finish",
        "improved-tooled-finish",
        "ground-finish",
        "sheared-finish",
        "burst-off-finish",
        "fire-polished-finish",
        "rolled-finish",
        "cork-finish-machine",
        "machine-fire-polished-rim",
        "knoppol-se",
    }
)
# So many shapes fill a phone's screen; the others come at a touch.
SHAPES_AT_ONCE = 12
# The years in which most bottles that the sea gives up were made: an open side ends there.
FROM_YEAR, TO_YEAR = 1800, 1985


def lip_questions(features: Iterable[Feature]) -> list[tuple[FeatureGroup, list[Feature]]]:
    """Both questions with their answers; of the shapes first what was made for longest: it is met most."""
    made: list[Feature] = []
    shapes: list[Feature] = []
    for feature in features:
        (made if feature.id in HOW_FINISHED else shapes).append(feature)
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
