"""Dependent evidence: pieces that follow from one cause are not counted twice.

Members of a family (all traces of the machine, say) are combined by what they would show together if one
followed from the other: the lowest of their shapes, never the product. Each may still be misread on its own,
so the chances of every mix of right and wrong looks are added up:
L(y) = Σ over sets S of right looks of Π w · Π (1−w)·t̄ · min over S of t(y).
A second look at the same cause thus confirms it, but does not sharpen its years.
Which features belong together is common practice, no source.
"""

from collections.abc import Sequence
from functools import lru_cache

from .axis import Axis
from .evidence import Piece

FAMILIES: dict[str, tuple[str, ...]] = {
    "made by machine": (
        "machine-seam-over-finish",
        "machine-narrow-neck",
        "ghost-seam",
        "offset-finish-seam",
        "neck-ring-parting-line",
        "thick-machine-seam",
        "press-blow-milk-seam",
        "cork-finish-machine",
        "machine-fire-polished-rim",
        "parison-base-scar",
        "valve-mark",
        "suction-scar",
        "suction-scar-beverage",
        "suction-scar-jar-rx",
        "suction-scar-liquor-small",
        "suction-scar-blue-glass",
    ),
    "crown cap": ("crown-finish", "crown-finish-tooled"),
    "fired label": ("acl", "acl-milk", "acl-soda"),
    "pontil rod": ("blowpipe-pontil", "blowpipe-pontil-soda", "glass-tipped-pontil", "sand-pontil"),
    "snap case": ("snap-case-base", "snap-case-marks"),
    "mould vents": ("air-vent-marks", "base-vent"),
    "turned to purple": ("colour-amethyst-tint", "colour-amethyst-machine"),
    "stated contents": ("contents-statement", "contents-statement-soda"),
    "postal reform": ("zip-code", "state-abbrev-two-letter"),
    "three-piece mould": ("three-piece-mould", "three-piece-mould-short-seam"),
    "screw thread": ("ext-thread-ground", "mason-shoulder-seal", "ext-thread-early"),
    "roll-on cap": ("roll-on-pilferproof", "roll-on-beer"),
    "no-refill law": ("federal-law-forbids", "liquor-permit-number", "distiller-d-number"),
    "aqua": ("colour-aqua", "colour-aqua-ink"),
    "stippled base": ("base-stippling", "base-knurling"),
}
FAMILY_OF = {feature: name for name, features in FAMILIES.items() for feature in features}


def grouped(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces by family; one without a family stands alone."""
    groups: dict[object, list[Piece]] = {}
    for number, piece in enumerate(pieces):
        groups.setdefault(piece.family or number, []).append(piece)
    return list(groups.values())


def together(pieces: Sequence[Piece], axis: Axis) -> tuple[float, ...]:
    """The joint likelihood of one family, scaled to a prior mean of 1."""
    return pieces[0].likelihood if len(pieces) == 1 else _together(tuple(pieces), axis)


@lru_cache(maxsize=1024)
def _together(pieces: tuple[Piece, ...], axis: Axis) -> tuple[float, ...]:
    means = [axis.mean(piece.heights) for piece in pieces]
    live = [(p.heights, p.weight, m) for p, m in zip(pieces, means, strict=True) if m > 0]
    joint = [
        _joint(sorted((heights[i], weight, mean) for heights, weight, mean in live))
        for i in range(len(axis.prior))
    ]
    total = axis.mean(joint)
    return tuple(value / total for value in joint)


def _joint(looks: list[tuple[float, float, float]]) -> float:
    """One year: looks by rising height; the lowest right one gives the height, all below it are wrong."""
    wrong_below = 1.0
    total = 0.0
    for n, (height, weight, _) in enumerate(looks):
        above = 1.0
        for _, other, mean in looks[n + 1 :]:
            above *= other + (1.0 - other) * mean
        total += height * weight * wrong_below * above
        wrong_below *= (1.0 - looks[n][1]) * looks[n][2]
    return total + wrong_below
