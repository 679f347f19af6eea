"""Frames and symbols of makers' marks as SVG paths: plain shapes of our own.

A symbol says which kind of thing was seen (a star, a crown), never what one firm's star looked like.
"""

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from catalogue.common.drawings.svg import drawing, num, path, text

SymbolPath = tuple[str, str]  # class, path data


class LetterBox(NamedTuple):
    """The box for letters: its middle below the frame's middle, its width and height."""

    down: float
    width: float
    height: float


def _polygon(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + "Z"


def _star_path(points: int, outer: float, inner: float) -> str:
    corners = []
    for place in range(points * 2):
        angle = math.pi * place / points - math.pi / 2
        reach = inner if place % 2 else outer
        corners.append((reach * math.cos(angle), reach * math.sin(angle)))
    return _polygon(corners)


_FILL, _LINE, _GAP = "mark-symbol", "mark-stroke", "mark-gap"
SYMBOLS: Mapping[str, tuple[SymbolPath, ...]] = MappingProxyType(
    {
        "star": ((_FILL, _star_path(5, 10, 4)),),
        "crown": (
            (_FILL, "M-9 5L-10-5L-5 0L0-8L5 0L10-5L9 5Z"),
            (
                _FILL,
                "M-9 6.5h18v2.5h-18zM-10-7a1.6 1.6 0 1 0 .1 0z"
                "M0-10a1.6 1.6 0 1 0 .1 0zM10-7a1.6 1.6 0 1 0 .1 0z",
            ),
        ),
        "anchor": (
            (_LINE, "M0-5V9M-4.5-2.5h9M-8.5 2.5Q-7 9 0 9Q7 9 8.5 2.5M-10 5l1.5-3l3 1.6M10 5l-1.5-3l-3 1.6"),
            (_LINE, "M0-9.5a2.2 2.2 0 1 0 .1 0z"),
        ),
        "eagle": (
            (
                _FILL,
                "M0-7.5Q2.4-9 3-6.6L5-5.6L2.6-5L2.4-3.4Q6-8 10-7.5Q9.6-1 3.4 3L4.6 8L1.6 6.4L0 9.5L-1.6 6.4"
                "L-4.6 8L-3.4 3Q-9.6-1-10-7.5Q-6-8-2.4-3.4Q-2.6-6.6 0-7.5Z",
            ),
        ),
        "cross": ((_FILL, "M-2.6-10h5.2v7.4h7.4v5.2h-7.4V10h-5.2V2.6H-10v-5.2h7.4Z"),),
        "maltese-cross": (
            (
                _FILL,
                "M0 0L-5-10L0-7L5-10ZM0 0L10-5L7 0L10 5ZM0 0L5 10L0 7L-5 10ZM0 0L-10 5L-7 0L-10-5Z",
            ),
        ),
        "crescent": ((_FILL, "M4-9.2A9.6 9.6 0 1 0 4 9.2A7.6 7.6 0 1 1 4-9.2Z"),),
        "acorn": (
            (_FILL, "M-8-2Q-8-7.5 0-7.5Q8-7.5 8-2Q0 .2-8-2ZM-.9-10h1.8v3h-1.8z"),
            (_FILL, "M-6.6.2Q0 1.8 6.6.2Q6.6 6.5 0 10Q-6.6 6.5-6.6.2Z"),
        ),
        "diamond": ((_LINE, "M0-7L10 0L0 7L-10 0Z"),),
        "keystone": ((_LINE, "M-9-9H9L5 9H-5Z"),),
        "buckle": (
            (_LINE, "M-9-6.5h14q4 0 4 4v5q0 4-4 4h-14z"),
            (_LINE, "M-2.5-6.5v13M-2.5 0H9"),
        ),
        "roof": ((_LINE, "M-10 6L0-6L10 6"),),
        "fish": (
            (_FILL, "M-9.5 0Q-4-6.4 3-3Q5-1.8 6 0L10-4.6V4.6L6 0Q5 1.8 3 3Q-4 6.4-9.5 0Z"),
            (_GAP, "M-5.6-1.9a1 1 0 1 0 .1 0z"),
        ),
        "bear": (
            (
                _FILL,
                "M-2-9.6Q-.6-10.4 0-8.6Q3-9 3.4-6.6L6.2-5.2L3.6-3.4Q4.4-1 4.2.6L7.6 1.4L7 3L3.8 2.8"
                "Q3.6 5.4 2.4 6.8"
                "V8.4H4.4V10H-.6V6.4H-1.8V10H-5.4V8.4H-4.2Q-5.8 4-4.6-.6Q-4-4-3-5.4Q-3.4-8-2-9.6Z",
            ),
        ),
        "beaver": (
            (
                _FILL,
                "M9.6 2.6Q9.8-.6 6.6-1Q6.4-2.8 4.8-2.2Q-1.6-6.4-4.6.6L-8.4.2Q-11 1.8-9.4 4.4L-4.8 4.6"
                "Q-4.4 6.4-2 6.6H1V5.4Q3.4 6 4.4 5.2L5 6.8H7.6V4.2Q9.4 4 9.6 2.6Z",
            ),
            (_GAP, "M6.6.2a.7.7 0 1 0 .1 0zM-9-1.6"),
        ),
        "capstan": ((_FILL, "M-5-9.5H5V-6.5H3.4Q2 0 6 5.5H8V9.5H-8V5.5H-6Q-2 0-3.4-6.5H-5Z"),),
        "cornucopia": (
            (_FILL, "M9.6 5.4Q1-1 2-9.4Q-2.6-4-9.2-1.4Q-8.4 3-3.4 8.6Q3 9.6 9.6 5.4Z"),
            (_LINE, "M-9.4-1.4Q-6 4-3.4 8.8M2-9.4q1.4-.8 2.2.4"),
            (_FILL, "M-9 4.4a2 2 0 1 0 .1 0zM-7.4 1a1.7 1.7 0 1 0 .1 0z"),
        ),
        "fleur-de-lis": (
            (
                _FILL,
                "M0-10Q3.6-5.6 1.6 1.4H-1.6Q-3.6-5.6 0-10ZM2.4 1.4Q2-5.4 6.8-5.4Q10.4-4.6 9.4-.8"
                "Q8.4 1 6.8-.4Q7.6-2.6 6-2.4Q4.6-1.6 5 1.4ZM-2.4 1.4Q-2-5.4-6.8-5.4Q-10.4-4.6-9.4-.8"
                "Q-8.4 1-6.8-.4Q-7.6-2.6-6-2.4Q-4.6-1.6-5 1.4Z"
                "M-6 2.2H6V4.2H-6ZM-1.4 5H1.4L3.6 9.6Q0 7.4-3.6 9.6Z",
            ),
        ),
        "wave": ((_LINE, "M-10 1q2.5-4.4 5 0t5 0t5 0t5 0"),),
        "shield": ((_LINE, "M-8-9H8V-1Q8 6 0 9.5Q-8 6-8-1Z"),),
        "heart": ((_FILL, "M0 9Q-10 2-10-3.4Q-9.6-8-5.4-8Q-1.6-8 0-4.4Q1.6-8 5.4-8Q9.6-8 10-3.4Q10 2 0 9Z"),),
        "boar-head": (
            (
                _FILL,
                "M-10 2.6L-8.6-.6Q-4-1.4-2.4-4L-1.6-9L1.4-5Q7.6-4.6 10 2"
                "V9.4Q4.6 6 1 8.4Q-1.6 5.4-5.6 5.6Q-9 5.6-10 2.6Z",
            ),
            (_GAP, "M-1.6-1.6a.9.9 0 1 0 .1 0zM-7 3.4L-6.2.4L-5.2 3.2Z"),
        ),
        "binoculars": (
            (_FILL, "M-6.6-7H-2.4V-4H2.4V-7H6.6L9.8 5H1.6V-.6H-1.6V5H-9.8Z"),
            (_LINE, "M-9.8 5V7.6H-1.6V5M9.8 5V7.6H1.6V5"),
        ),
        "castle": (
            (
                _FILL,
                "M-9.6-9H-6.6V-6.6H-4.8V-9H-1.8V-2.4H1.8V-9H4.8V-6.6H6.6V-9H9.6"
                "V9H2.4V3.6Q0 .6-2.4 3.6V9H-9.6Z",
            ),
        ),
        "horse": (
            (
                _FILL,
                "M-9.8-3.4L-5-8.6L-3.6-7Q-2.2-3 1-3H6.4Q9.8-2.6 9.6 4H8.4V-.4L7.4.6V9H5.4L4.6 2.6H-1.6L-2.6 9"
                "H-4.6"
                "L-4.4.6L-5.4-3.4L-8.6-1.8Z",
            ),
        ),
        "horseshoe": (
            (_FILL, "M-4 9H-7.6Q-12-9.6 0-9.6Q12-9.6 7.6 9H4Q7.6-5.6 0-5.6Q-7.6-5.6-4 9Z"),
            (_GAP, "M-7-1a.8.8 0 1 0 .1 0zM7-1a.8.8 0 1 0 .1 0zM0-8.2a.8.8 0 1 0 .1 0z"),
        ),
        "map": ((_LINE, "M-9-7L-3-5L3-7L9-5V7L3 5L-3 7L-9 5ZM-3-5V7M3-7V5"),),
        "pickaxe": (
            (_FILL, "M-9.8-3Q-5-9 0-9Q5-9 9.8-3Q5-6 0-6Q-5-6-9.8-3Z"),
            (_FILL, "M-1.2-6H1.2V9.8H-1.2Z"),
        ),
        "ring": ((_LINE, "M0-8.6a8.6 8.6 0 1 0 .1 0z"),),
        "spade": (
            (
                _FILL,
                "M0-9.8Q2.6-5 8-1.4Q10.4 5 5.4 5.6Q2.4 5.8 1 3.6L3 9.4"
                "H-3L-1 3.6Q-2.4 5.8-5.4 5.6Q-10.4 5-8-1.4Q-2.6-5 0-9.8Z",
            ),
        ),
        "turreted-head": ((_FILL, "M-6-9.8H-4V-8H-1V-9.8H1V-8H4V-9.8H6V-5H-6ZM0-4.2a5 7 0 1 0 .1 0z"),),
        "vine": (
            (
                _FILL,
                "M-6-4a2 2 0 1 0 .1 0zM-2-4a2 2 0 1 0 .1 0zM2-4a2 2 0 1 0 .1 0z"
                "M-4-.4a2 2 0 1 0 .1 0zM0-.4a2 2 0 1 0 .1 0zM-2 3.4a2 2 0 1 0 .1 0z",
            ),
            (_LINE, "M-2-4Q-1-9 4-9.4M1-7Q8-9 9.6-2Q5-1 1-7"),
        ),
        "leaf": ((_FILL, "M0-10Q9-2 0 7Q-9-2 0-10Z"), (_LINE, "M0 6V10")),
    }
)
GENERIC: tuple[SymbolPath, ...] = ((_LINE, "M0-8L8 0L0 8L-8 0Z"), (_FILL, "M0-2a2 2 0 1 0 .1 0z"))
BELOW_THE_LETTERS = frozenset({"wave"})  # drawn below the letters rather than above


def shapes_of(symbol: str) -> tuple[SymbolPath, ...]:
    """The shapes of a symbol; a plain ornament for one that we don't draw."""
    return SYMBOLS.get(symbol, GENERIC)


def placed(symbol: str, x: float, y: float, size: float) -> str:
    """A symbol with its middle at (x, y), ``size`` units wide."""
    scale = size / 20
    return f'<g transform="translate({num(x)} {num(y)}) scale({num(scale)})">{_paths_of(symbol)}</g>'


def _paths_of(symbol: str, unsaid: str = "") -> str:
    """About its middle, in units of which twenty are its width; the kind `unsaid` gets no class."""
    kinds = {kind: "" if kind == unsaid else f'class="{kind}" ' for kind in (_FILL, _LINE, _GAP)}
    return "".join(f'<path {kinds[kind]}d="{d}"/>' for kind, d in shapes_of(symbol))


def symbol_drawing(symbol: str, words: str = "") -> str:
    """A small icon to tap on; leave ``words`` empty where the name stands beside it."""
    # As `placed` in a box of 40, 28 wide; a form holds dozens of them, so each is as short as can be.
    side = 40 / 1.4
    at = -side / 2
    body = _paths_of(symbol, unsaid=_FILL)  # a filled path is what an icon's paths are anyway
    return drawing(side, side, body, words=words, kind="mark-icon", left=at, top=at)


def _ellipse_path(rx: float, ry: float) -> str:
    return (
        f"M{num(-rx)} 0a{num(rx)} {num(ry)} 0 1 0 {num(2 * rx)} 0a{num(rx)} {num(ry)} 0 1 0 {num(-2 * rx)} 0Z"
    )


def _polygon_frame(*points: tuple[float, float]) -> Callable[[float], str]:
    def drawn(r: float) -> str:
        return "M" + "L".join(f"{num(x * r)} {num(y * r)}" for x, y in points) + "Z"

    return drawn


def _shield(r: float) -> str:
    a, b = num(0.86 * r), num(-0.86 * r)
    return (
        f"M{b} {num(-0.9 * r)}H{a}V{num(0.05 * r)}Q{a} {num(0.75 * r)} 0 {num(1.08 * r)}"
        f"Q{b} {num(0.75 * r)} {b} {num(0.05 * r)}Z"
    )


_SIN_60 = math.sqrt(3) / 2
# outline for a frame that reaches about r from its middle, and the room as parts of r
_FRAMES: Mapping[str, tuple[Callable[[float], str], LetterBox]] = MappingProxyType(
    {
        "circle": (lambda r: _ellipse_path(r, r), LetterBox(0, 1.42, 1.3)),
        "oval": (lambda r: _ellipse_path(1.3 * r, 0.84 * r), LetterBox(0, 1.9, 1.0)),
        "diamond": (_polygon_frame((0, -1.2), (1.2, 0), (0, 1.2), (-1.2, 0)), LetterBox(0, 1.3, 0.95)),
        "square": (
            _polygon_frame((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)),
            LetterBox(0, 1.5, 1.45),
        ),
        "triangle": (_polygon_frame((0, -1.15), (1.2, 0.92), (-1.2, 0.92)), LetterBox(0.3, 1.25, 0.85)),
        "inverted-triangle": (
            _polygon_frame((0, 1.15), (1.2, -0.92), (-1.2, -0.92)),
            LetterBox(-0.3, 1.25, 0.85),
        ),
        "hexagon": (
            _polygon_frame(
                (-1.12, 0),
                (-0.56, -1.12 * _SIN_60),
                (0.56, -1.12 * _SIN_60),
                (1.12, 0),
                (0.56, 1.12 * _SIN_60),
                (-0.56, 1.12 * _SIN_60),
            ),
            LetterBox(0, 1.5, 1.3),
        ),
        "keystone": (
            _polygon_frame((-1.05, -0.92), (1.05, -0.92), (0.62, 0.95), (-0.62, 0.95)),
            LetterBox(-0.05, 1.3, 1.3),
        ),
        "shield": (_shield, LetterBox(-0.08, 1.4, 1.2)),
        "other": (lambda r: _ellipse_path(1.05 * r, r), LetterBox(0, 1.45, 1.3)),
    }
)
NO_FRAME = LetterBox(0, 2.3, 1.7)
FRAMES = ("none", *_FRAMES)


def frame_path(frame: str, x: float, y: float, r: float) -> str:
    """The outline round (x, y); empty for no frame, dashed for one that has no name here."""
    if frame in ("", "none"):
        return ""
    outline, _ = _FRAMES.get(frame, _FRAMES["other"])
    kind = "mark-frame" if frame in _FRAMES and frame != "other" else "mark-frame mark-other"
    return f'<g transform="translate({num(x)} {num(y)})">{path(outline(r), kind)}</g>'


def room_in(frame: str, r: float) -> LetterBox:
    """The box for letters in a frame of that reach."""
    room = NO_FRAME if frame in ("", "none") else _FRAMES.get(frame, _FRAMES["other"])[1]
    return LetterBox(room.down * r, room.width * r, room.height * r)


def frame_drawing(frame: str, words: str = "") -> str:
    """A small icon to tap on; leave ``words`` empty where the name stands beside it."""
    room = room_in(frame, 14)
    letter = text(20, 20 + room.down + 4.2, "A", "mark-letter", 12)
    return drawing(40, 40, frame_path(frame, 20, 20, 14) + letter, words=words, kind="mark-icon")
