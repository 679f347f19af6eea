"""The lip: one group of the tables, two questions, for a lip has been made in some way whatever its shape."""

from collections.abc import Iterable

from .tables import Feature

LIP = "finish"  # the group of the tables, and the question how it was made
LIP_SHAPES = "lip-shape"  # the other question
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


def lip_parts(features: Iterable[Feature]) -> tuple[list[Feature], list[Feature]]:
    """The rows of the group that tell how a lip was made, and those that tell its shape."""
    made: list[Feature] = []
    shapes: list[Feature] = []
    for feature in features:
        (made if feature.id in HOW_FINISHED else shapes).append(feature)
    return made, shapes
