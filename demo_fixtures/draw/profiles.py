"""Outlines of the vessels: from foot to end of neck, each point (share of height, share of greatest radius).

All drawn by eye after the ordinary forms of the trade; nobody's own design. A profile also says how
square its body is, how thick its foot, how far its base is pushed up, and which lip usually tops it.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Profile:
    """An outline. `points` are turned on the axis; `depth` < 1 flattens the body front to back."""

    words: str
    points: tuple[tuple[float, float], ...]
    finish: str
    depth: float = 1.0
    corner: float = 1.0
    """Corner radius of the body's section as a share of half its depth: 1 round, less is squarer."""
    square_to: float = 0.0
    """Up to this share of the height the section is as flat or square as said; rounder above."""
    foot_mm: float = 7.0
    kick_mm: float = 3.0
    ribs: int = 0
    """Upright ribs around the body (poisons were made to be felt in the dark)."""
    panel: bool = False
    marble: bool = False
    turn_deg: float = 0.0
    """How far it is turned from face-on in a picture."""
    stands: bool = True


PROFILES: dict[str, Profile] = {
    "tall soda": Profile(
        "tall soda water",
        ((0, 0.93), (0.025, 1), (0.5, 1), (0.58, 0.985), (0.68, 0.86), (0.78, 0.6), (0.87, 0.43), (1, 0.37)),
        "crown",
    ),
    "squat soda": Profile(
        "squat soda water",
        ((0, 0.92), (0.03, 1), (0.54, 1), (0.64, 0.96), (0.73, 0.78), (0.81, 0.54), (0.88, 0.42), (1, 0.38)),
        "blob",
        foot_mm=9.0,
    ),
    "beer": Profile(
        "export beer",
        (
            (0, 0.94), (0.02, 1), (0.56, 1), (0.61, 0.97), (0.655, 0.8), (0.70, 0.58), (0.78, 0.5),
            (0.88, 0.46), (1, 0.40),
        ),
        "crown",
    ),
    "ginger beer": Profile(
        "ginger beer",
        (
            (0, 0.92), (0.03, 0.99), (0.06, 1), (0.60, 1), (0.69, 0.97), (0.77, 0.8), (0.84, 0.56),
            (0.9, 0.45), (1, 0.41),
        ),
        "blob",
        foot_mm=8.0,
    ),
    "marble bottle": Profile(
        "pinched bottle stopped by a marble",
        (
            (0, 0.92), (0.03, 1), (0.53, 1), (0.6, 0.97), (0.665, 0.74), (0.70, 0.57),
            (0.73, 0.55), (0.765, 0.68),
            (0.83, 0.72), (0.90, 0.66), (0.955, 0.52), (1, 0.47),
        ),
        "marble",
        foot_mm=9.0,
        marble=True,
    ),
    "flask": Profile(
        "pocket flask",
        (
            (0, 0.86), (0.03, 0.93), (0.2, 0.985), (0.42, 1), (0.6, 0.96), (0.72, 0.74),
            (0.8, 0.4), (0.86, 0.3), (1, 0.27),
        ),
        "double",
        depth=0.52,
        corner=0.96,
        square_to=0.7,
    ),
    "panel medicine": Profile(
        "flat-panelled medicine",
        ((0, 0.96), (0.02, 1), (0.66, 1), (0.70, 0.985), (0.735, 0.86), (0.765, 0.5), (0.8, 0.39), (1, 0.36)),
        "oil",
        depth=0.62,
        corner=0.42,
        square_to=0.72,
        panel=True,
        turn_deg=16.0,
    ),
    "ink cone": Profile(
        "cone ink",
        (
            (0, 0.96), (0.05, 1), (0.16, 0.985), (0.5, 0.68), (0.66, 0.49), (0.72, 0.40),
            (0.80, 0.35), (1, 0.34),
        ),
        "flared",
        foot_mm=5.0,
    ),
    "milk": Profile(
        "milk",
        ((0, 0.94), (0.025, 1), (0.54, 1), (0.62, 0.97), (0.72, 0.8), (0.82, 0.6), (0.91, 0.5), (1, 0.5)),
        "cap seat",
        foot_mm=6.0,
    ),
    "jar": Profile(
        "wide-mouthed preserving jar",
        ((0, 0.93), (0.03, 1), (0.80, 1), (0.86, 0.985), (0.92, 0.88), (0.955, 0.79), (1, 0.76)),
        "jar",
        foot_mm=6.0,
    ),
    "wine": Profile(
        "straight-sided wine",
        (
            (0, 0.93), (0.02, 1), (0.6, 0.995), (0.655, 0.95), (0.70, 0.76), (0.735, 0.53),
            (0.78, 0.42), (0.86, 0.38), (1, 0.36),
        ),
        "ring",
        foot_mm=6.0,
        kick_mm=34.0,
    ),
    "case": Profile(
        "square case bottle",
        (
            (0, 0.80), (0.02, 0.84), (0.45, 0.93), (0.76, 1), (0.80, 0.98), (0.84, 0.84),
            (0.88, 0.5), (0.905, 0.39), (1, 0.37),
        ),
        "flat",
        corner=0.26,
        square_to=0.82,
        kick_mm=6.0,
        turn_deg=24.0,
    ),
    "torpedo": Profile(
        "torpedo, never meant to stand",
        (
            (0, 0.06), (0.015, 0.22), (0.06, 0.48), (0.16, 0.78), (0.3, 0.97), (0.40, 1),
            (0.52, 0.95), (0.66, 0.76), (0.8, 0.52), (0.9, 0.41), (1, 0.38),
        ),
        "blob",
        foot_mm=9.0,
        kick_mm=0.0,
        stands=False,
    ),
    "poison": Profile(
        "ribbed poison",
        ((0, 0.95), (0.02, 1), (0.62, 1), (0.68, 0.97), (0.735, 0.76), (0.78, 0.46), (0.82, 0.39), (1, 0.37)),
        "flat",
        ribs=26,
    ),
    "cordial": Profile(
        "tall cordial",
        (
            (0, 0.92), (0.015, 0.99), (0.03, 1), (0.46, 0.96), (0.52, 0.92), (0.60, 0.72),
            (0.70, 0.52), (0.82, 0.42), (1, 0.36),
        ),
        "double",
        kick_mm=9.0,
    ),
    "vial": Profile(
        "small vial",
        ((0, 0.94), (0.03, 1), (0.70, 1), (0.745, 0.97), (0.79, 0.72), (0.82, 0.56), (1, 0.53)),
        "flared",
        foot_mm=4.0,
        kick_mm=1.5,
    ),
    "perfume": Profile(
        "scent bottle",
        (
            (0, 0.72), (0.02, 0.78), (0.2, 0.95), (0.36, 1), (0.5, 0.94), (0.62, 0.66),
            (0.69, 0.4), (0.74, 0.31), (0.88, 0.3), (1, 0.33),
        ),
        "flared",
        depth=0.72,
        corner=0.8,
        square_to=0.6,
        foot_mm=9.0,
        kick_mm=1.0,
    ),
}  # fmt: skip
