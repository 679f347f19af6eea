"""Seams and traces on the side of a bottle as small sketches, by the id of the feature that they show.

Sketches of our own from the table's own words for how each is seen (common practice,
no source), not to scale.
"""

from catalogue.common.drawings.svg import drawing, path

_WIDTH, _HEIGHT = 34.0, 60.0
_OUTLINE = "M7 57V27C7 20 12 19 12.5 13V8H11V3H23V8H21.5V13C22 19 27 20 27 27V57Z"
_LOPSIDED = "M8 57C5 46 6 34 8 27C9 21 12 19 12 13V3H21V13C22 18 27 21 28 28C29 40 27 48 26 57Z"
_WAIST = "M9 57L7 27C7 20 12 19 12.5 13V8H11V3H23V8H21.5V13C22 19 27 20 27 27L25 57Z"
_BODY, _NECK, _THROUGH = "M21 57V28C21 22 19 19 19 14", "V11", "V3"
_BODY_ONLY = "M21 57V27"
_BAND = "M7.2 26Q17 29 26.8 26"


def _seam(d: str) -> str:
    return path(d, "sketch-seam")


def _hair(d: str) -> str:
    return path(d, "sketch-hair")


def side_seam(feature: str, *, words: str = "") -> str:
    """The sketch of a side by its feature's id; empty for a feature that is not seen on the side."""
    found = SIDES.get(feature)
    if found is None:
        return ""
    outline, parts = found
    return drawing(
        _WIDTH,
        _HEIGHT,
        path(outline, "sketch-glass") + "".join(parts),
        words=words,
        kind="sketch sketch-tall",
    )


_LEVEL = "".join(f"M7.5 {y}Q17 {y + 1.5} 26.5 {y}" for y in range(29, 56, 5))
_PIMPLES = (path("M10 24h0M17 26h0M24 24h0M9 32h0M25 32h0", "sketch-dots", 'stroke-width="2"'),)
_PLATE = ("M11 32H23V50H11Z",)

SIDES: dict[str, tuple[str, tuple[str, ...]]] = {
    "free-blown": (_LOPSIDED, ()),
    "dip-mould": (_WAIST, (_hair(_BAND),)),
    "three-piece-mould": (_OUTLINE, (_seam(_BAND), _seam("M21 27C20.5 21 19 19 19 14V11"))),
    "three-piece-mould-short-seam": (_OUTLINE, (_seam(_BAND), _seam("M21 27C20.5 22 19.5 20 19.3 17"))),
    "turn-mould": (_OUTLINE, (_hair(_LEVEL),)),
    "plate-mould-soda": (_OUTLINE, (_seam(_PLATE[0]), _hair("M13 38H21M13 42H21"))),
    "plate-mould-druggist": (_OUTLINE, (_seam(_PLATE[0]), _hair("M13 36H21M13 40H21M13 44H21"))),
    "seam-stops-below-finish": (_OUTLINE, (_seam(_BODY + _NECK),)),
    "machine-seam-over-finish": (_OUTLINE, (_seam(_BODY + _THROUGH),)),
    "machine-narrow-neck": (_OUTLINE, (_seam(_BODY + _THROUGH),)),
    "ghost-seam": (_OUTLINE, (_seam(_BODY + _THROUGH), _hair("M12 57C10 50 14 44 11 37S13 26 14 17"))),
    "offset-finish-seam": (_OUTLINE, (_seam(_BODY + "V8"), _seam("M14 8V3"))),
    "neck-ring-parting-line": (_OUTLINE, (_seam("M12.5 10H21.5"), _seam(_BODY + _NECK))),
    "thick-machine-seam": (_OUTLINE, (path(_BODY + _THROUGH, "sketch-seam sketch-heavy"),)),
    "press-blow-milk-seam": (_OUTLINE, (_seam(_BODY), _seam("M11.2 8.5H22.8"))),
    "snap-case-marks": (_OUTLINE, ('<ellipse class="sketch-faint" cx="13" cy="50" rx="4" ry="5.5"/>',)),
    "air-vent-marks": (_OUTLINE, _PIMPLES),
    "no-air-vent-marks": (_OUTLINE, (_seam(_BODY + _NECK),)),
}
