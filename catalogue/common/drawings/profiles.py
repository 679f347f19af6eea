"""Outlines of vessels by kind: (height from the foot, half width), both as parts of height and radius.

Generic shapes of our own from looking at what such vessels have in common, drawn for a find without a
picture; no maker's design is copied.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

ProfilePoints = tuple[tuple[float, float], ...]


class VesselProfile(NamedTuple):
    """Points up the right-hand side, usual width against height, and the lip's place."""

    points: ProfilePoints
    slimness: float  # greatest diameter / height


_ROUND_FOOT: ProfilePoints = ((0.0, 0.86), (0.02, 0.97), (0.045, 1.0))

NO_VESSEL = "no-vessel"  # a plain block, for what is no bottle

VESSEL_PROFILES: Mapping[str, VesselProfile] = MappingProxyType(
    {
        "soda": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.55, 1.0),
                (0.66, 0.86),
                (0.76, 0.56),
                (0.86, 0.4),
                (0.935, 0.37),
                (0.94, 0.5),
                (0.985, 0.5),
                (1.0, 0.44),
            ),
            0.28,
        ),
        "beer": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.56, 1.0),
                (0.64, 0.9),
                (0.7, 0.6),
                (0.78, 0.44),
                (0.92, 0.36),
                (0.925, 0.47),
                (0.985, 0.47),
                (1.0, 0.4),
            ),
            0.27,
        ),
        "medicine": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.66, 1.0),
                (0.72, 0.92),
                (0.76, 0.6),
                (0.78, 0.4),
                (0.92, 0.38),
                (0.925, 0.58),
                (0.985, 0.58),
                (1.0, 0.5),
            ),
            0.36,
        ),
        "flask": VesselProfile(
            (
                (0.0, 0.6),
                (0.03, 0.66),
                (0.25, 0.86),
                (0.5, 1.0),
                (0.64, 0.94),
                (0.76, 0.5),
                (0.8, 0.3),
                (0.93, 0.27),
                (0.935, 0.36),
                (0.99, 0.36),
                (1.0, 0.3),
            ),
            0.5,
        ),
        "ink": VesselProfile(
            (
                (0.0, 0.92),
                (0.04, 1.0),
                (0.14, 1.0),
                (0.2, 0.93),
                (0.6, 0.56),
                (0.7, 0.46),
                (0.88, 0.42),
                (0.885, 0.6),
                (0.98, 0.6),
                (1.0, 0.52),
            ),
            0.95,
        ),
        "milk": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.56, 1.0),
                (0.66, 0.86),
                (0.76, 0.62),
                (0.86, 0.54),
                (0.93, 0.56),
                (0.935, 0.66),
                (0.985, 0.66),
                (1.0, 0.6),
            ),
            0.4,
        ),
        "jar": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.72, 1.0),
                (0.8, 0.94),
                (0.84, 0.78),
                (0.86, 0.76),
                (0.865, 0.84),
                (0.97, 0.84),
                (1.0, 0.78),
            ),
            0.55,
        ),
        "wine": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.6, 1.0),
                (0.67, 0.9),
                (0.71, 0.55),
                (0.74, 0.4),
                (0.92, 0.34),
                (0.925, 0.42),
                (0.955, 0.42),
                (0.96, 0.36),
                (1.0, 0.36),
            ),
            0.26,
        ),
        "case": VesselProfile(
            (
                (0.0, 0.72),
                (0.02, 0.76),
                (0.3, 0.88),
                (0.74, 1.0),
                (0.82, 0.92),
                (0.86, 0.5),
                (0.88, 0.34),
                (0.94, 0.33),
                (0.945, 0.48),
                (0.99, 0.46),
                (1.0, 0.4),
            ),
            0.38,
        ),
        "torpedo": VesselProfile(
            (
                (0.0, 0.04),
                (0.02, 0.3),
                (0.1, 0.66),
                (0.24, 0.94),
                (0.38, 1.0),
                (0.55, 0.92),
                (0.72, 0.66),
                (0.86, 0.42),
                (0.91, 0.36),
                (0.915, 0.52),
                (0.985, 0.52),
                (1.0, 0.44),
            ),
            0.3,
        ),
        "poison": VesselProfile(
            (
                (0.0, 0.9),
                (0.02, 1.0),
                (0.7, 1.0),
                (0.76, 0.8),
                (0.79, 0.46),
                (0.91, 0.44),
                (0.915, 0.66),
                (0.985, 0.66),
                (1.0, 0.58),
            ),
            0.38,
        ),
        "cordial": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.34, 1.0),
                (0.42, 0.9),
                (0.48, 0.6),
                (0.6, 0.44),
                (0.9, 0.34),
                (0.905, 0.46),
                (0.955, 0.46),
                (0.96, 0.38),
                (1.0, 0.38),
            ),
            0.27,
        ),
        "stopper": VesselProfile(
            (
                (0.0, 0.3),
                (0.02, 0.34),
                (0.5, 0.42),
                (0.52, 0.78),
                (0.56, 0.84),
                (0.6, 0.7),
                (0.66, 0.8),
                (0.8, 1.0),
                (0.93, 0.8),
                (1.0, 0.3),
            ),
            0.62,
        ),
        "other": VesselProfile(
            (
                *_ROUND_FOOT,
                (0.55, 1.0),
                (0.68, 0.84),
                (0.76, 0.52),
                (0.9, 0.42),
                (0.905, 0.54),
                (0.985, 0.54),
                (1.0, 0.46),
            ),
            0.36,
        ),
        NO_VESSEL: VesselProfile(((0.0, 0.96), (0.03, 1.0), (0.97, 1.0), (1.0, 0.96)), 0.7),
    }
)
