"""Evidence from a feature of making: the trapezoid of its row."""

from dataclasses import replace

from .axis import Axis
from .case import Case, FeatureSeen
from .dependence import FAMILY_OF
from .evidence import Piece, likelihood, misfits, reliability_of, weigh
from .library import Reference
from .rows import Feature
from .shapes import of_feature


def heights_of(feature: Feature, axis: Axis, ref: Reference) -> tuple[float, ...]:
    """The feature's shape over the axis."""
    return ref.remember(("heights", feature.id, axis), lambda: of_feature(feature).over(axis))


def feature_piece(seen: FeatureSeen, case: Case, axis: Axis, ref: Reference) -> Piece:
    """The piece of evidence of a feature that was seen."""
    feature = ref.features[seen.id]
    outside = misfits(feature, case)
    key = ("feature", seen.id, seen.certainty, tuple(outside), axis)
    piece = ref.remember(key, lambda: _piece(feature, seen.certainty, outside, axis, ref))
    return replace(piece, label=f"{piece.label} ({seen.note[:60]})") if seen.note else piece


def _piece(feature: Feature, certainty: str, outside: list[str], axis: Axis, ref: Reference) -> Piece:
    weight, why = weigh(certainty, reliability_of(feature), outside)
    heights = heights_of(feature, axis, ref)
    return Piece(
        "feature",
        feature.id,
        feature.term,
        feature.how_to_see,
        certainty,
        weight,
        why,
        ref.source_words(feature.source, feature.locator),
        heights,
        likelihood(heights, weight, axis),
        of_feature(feature).support,
        family=FAMILY_OF.get(feature.id, ""),
    )
