"""Sketches of features of making: seams, scars and traces on base and side, by the feature's id.

Sketches of our own from the table's own words for how each is seen (common practice,
no source), not to scale. Lips stand in `lip`.
"""

import math
from collections.abc import Iterable

from catalogue.common.drawings.lip import lip
from catalogue.common.drawings.sketch_as import SKETCH_AS
from catalogue.common.drawings.svg import drawing, num, path

_SIZE, _MIDDLE, _RADIUS = 48.0, 24.0, 21.0
_WIDTH, _HEIGHT = 34.0, 60.0


def making_sketch(feature: str, *, words: str = "") -> str:
    """A sketch by a feature's id; empty where words alone must do."""
    like = SKETCH_AS.get(feature, feature)
    return lip(like, words=words) or base_scar(like, words=words) or side_seam(like, words=words)


def base_scar(feature: str, *, words: str = "") -> str:
    """The sketch of a base by its feature's id; empty for a feature that is not seen on the base."""
    parts = BASE_SKETCHES.get(feature)
    if parts is None:
        return ""
    ground = circle(0, 0, _RADIUS, "sketch-glass") + circle(0, 0, 17.5, "sketch-faint")
    return drawing(_SIZE, _SIZE, ground + "".join(parts), words=words, kind="sketch")


def circle(x: float, y: float, radius: float, kind: str) -> str:
    """A circle, its centre measured from the middle of the base."""
    return f'<circle class="{kind}" cx="{num(_MIDDLE + x)}" cy="{num(_MIDDLE + y)}" r="{num(radius)}"/>'


def line(points: Iterable[tuple[float, float]], kind: str = "sketch-line") -> str:
    """A line through points measured from the middle of the base."""
    return _many([points], kind)


def _place(point: tuple[float, float]) -> str:
    return f"{_MIDDLE + point[0]:.1f} {_MIDDLE + point[1]:.1f}"


def _around(radius: float, angle: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))


def _jagged(radius: float, kind: str = "sketch-line") -> str:
    """A broken edge going round."""
    return line([_around(radius + (1.3 if n % 2 else -0.6), n * 15) for n in range(25)], kind)


def _many(pieces: Iterable[Iterable[tuple[float, float]]], kind: str) -> str:
    """Several lines as one path: half the characters, and a page may hold dozens of sketches."""
    return path("".join("M" + "L".join(_place(point) for point in points) for points in pieces), kind)


def _points(places: Iterable[tuple[float, float]], size: float) -> str:
    """Dots as the round ends of lines without length."""
    d = "".join(f"M{_place(place)}h0" for place in places)
    return path(d, "sketch-dots", f'stroke-width="{num(2 * size)}"')


def _dots(spread: float, number: int, size: float) -> str:
    """Dots laid evenly without rows: each a golden angle from the last."""
    return _points((_around(spread * math.sqrt((n + 0.5) / number), n * 137.5) for n in range(number)), size)


def _feathered(radius: float, x: float) -> list[str]:
    ticks = [
        [(x + a, b), (x + c, d)]
        for a, b, c, d in ((*_around(radius, n), *_around(radius + 2.6, n + 6)) for n in range(0, 360, 15))
    ]
    return [circle(x, 0, radius, "sketch-ring"), _many(ticks, "sketch-hair")]


def _star() -> str:
    points = [_around(9 if n % 2 == 0 else 3.8, n * 36 - 90) for n in range(11)]
    return line(points)


_SUCTION = _feathered(12.0, 2.5)
_RING_SCAR = [_jagged(7.5), _jagged(5.5)]
BASE_SKETCHES: dict[str, list[str]] = {
    "bar-pontil": [circle(0, 0, 6.5, "sketch-filled"), _jagged(7)],
    "glass-tipped-pontil": [_dots(8.5, 16, 1.3)],
    "blowpipe-pontil": _RING_SCAR,
    "blowpipe-pontil-soda": _RING_SCAR,
    "sand-pontil": [_dots(14.5, 40, 0.5)],
    "bare-iron-pontil": [circle(0, 0, 7.5, "sketch-iron")],
    "pontil-on-specialty": _RING_SCAR,
    "snap-case-base": [],
    "suction-scar": _SUCTION,
    "suction-scar-beverage": _SUCTION,
    "suction-scar-jar-rx": _SUCTION,
    "suction-scar-liquor-small": _SUCTION,
    "suction-scar-blue-glass": _SUCTION,
    "parison-base-scar": [circle(2, 1, 11.5, "sketch-ring")],
    "cut-off-scar": [path("M16 27C19 20 23 21 24 24S29 28 32 21", "sketch-line")],
    "valve-mark": [circle(0, 0, 6, "sketch-ring")],
    "star-base": [_star()],
    "base-vent": [_points([(0, 0)], 1.5)],
    "base-stippling": [
        _points((_around(radius, n) for radius in (15.6, 19.2) for n in range(0, 360, 15)), 0.6)
    ],
    "base-knurling": [
        _many(([_around(17.5, n), _around(20.5, n)] for n in range(0, 360, 10)), "sketch-hair")
    ],
    "two-piece-hinge-mould": [line([(-21, 0), (-7, 2.5), (7, -2.5), (21, 0)], "sketch-seam")],
    "key-mould": [path("M3 24H18A6 6 0 0 1 30 24H45", "sketch-seam")],
    "post-bottom-mould": [
        circle(0, 0, 10, "sketch-seam"),
        _many([[(-21, 0), (-10, 0)], [(10, 0), (21, 0)]], "sketch-seam"),
    ],
    "cup-bottom-mould": [circle(0, 0, 20, "sketch-seam")],
    "ricketts-base-plate": [
        circle(0, 0, 18.5, "sketch-seam"),
        circle(0, 0, 8, "sketch-seam"),
        _many(([_around(11.5, n), _around(15, n)] for n in range(200, 345, 12)), "sketch-line"),
    ],
}
_OUTLINE = "M7 57V27C7 20 12 19 12.5 13V8H11V3H23V8H21.5V13C22 19 27 20 27 27V57Z"
_LOPSIDED = "M8 57C5 46 6 34 8 27C9 21 12 19 12 13V3H21V13C22 18 27 21 28 28C29 40 27 48 26 57Z"
_WAIST = "M9 57L7 27C7 20 12 19 12.5 13V8H11V3H23V8H21.5V13C22 19 27 20 27 27L25 57Z"
_BODY, _NECK, _THROUGH = "M21 57V28C21 22 19 19 19 14", "V11", "V3"
_BAND = "M7.2 26Q17 29 26.8 26"


def _seam(d: str) -> str:
    return path(d, "sketch-seam")


def _hair(d: str) -> str:
    return path(d, "sketch-hair")


def side_seam(feature: str, *, words: str = "") -> str:
    """The sketch of a side by its feature's id; empty for a feature that is not seen on the side."""
    found = SIDE_SKETCHES.get(feature)
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
SIDE_SKETCHES: dict[str, tuple[str, tuple[str, ...]]] = {
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
