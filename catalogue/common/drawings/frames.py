"""Frames round a maker's mark: their outline, and the room for letters within."""

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from catalogue.common.drawings.svg import drawing, num, path, text


class Room(NamedTuple):
    """The box for letters: its middle below the frame's middle, its width and height."""

    down: float
    width: float
    height: float


def _ring(rx: float, ry: float) -> str:
    return (
        f"M{num(-rx)} 0a{num(rx)} {num(ry)} 0 1 0 {num(2 * rx)} 0a{num(rx)} {num(ry)} 0 1 0 {num(-2 * rx)} 0Z"
    )


def _corners(*points: tuple[float, float]) -> Callable[[float], str]:
    def drawn(r: float) -> str:
        return "M" + "L".join(f"{num(x * r)} {num(y * r)}" for x, y in points) + "Z"

    return drawn


def _shield(r: float) -> str:
    a, b = num(0.86 * r), num(-0.86 * r)
    return (
        f"M{b} {num(-0.9 * r)}H{a}V{num(0.05 * r)}Q{a} {num(0.75 * r)} 0 {num(1.08 * r)}"
        f"Q{b} {num(0.75 * r)} {b} {num(0.05 * r)}Z"
    )


_S = math.sqrt(3) / 2
# outline for a frame that reaches about r from its middle, and the room as parts of r
_FRAMES: Mapping[str, tuple[Callable[[float], str], Room]] = MappingProxyType(
    {
        "circle": (lambda r: _ring(r, r), Room(0, 1.42, 1.3)),
        "oval": (lambda r: _ring(1.3 * r, 0.84 * r), Room(0, 1.9, 1.0)),
        "diamond": (_corners((0, -1.2), (1.2, 0), (0, 1.2), (-1.2, 0)), Room(0, 1.3, 0.95)),
        "square": (_corners((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)), Room(0, 1.5, 1.45)),
        "triangle": (_corners((0, -1.15), (1.2, 0.92), (-1.2, 0.92)), Room(0.3, 1.25, 0.85)),
        "inverted-triangle": (_corners((0, 1.15), (1.2, -0.92), (-1.2, -0.92)), Room(-0.3, 1.25, 0.85)),
        "hexagon": (
            _corners(
                (-1.12, 0),
                (-0.56, -1.12 * _S),
                (0.56, -1.12 * _S),
                (1.12, 0),
                (0.56, 1.12 * _S),
                (-0.56, 1.12 * _S),
            ),
            Room(0, 1.5, 1.3),
        ),
        "keystone": (
            _corners((-1.05, -0.92), (1.05, -0.92), (0.62, 0.95), (-0.62, 0.95)),
            Room(-0.05, 1.3, 1.3),
        ),
        "shield": (_shield, Room(-0.08, 1.4, 1.2)),
        "other": (lambda r: _ring(1.05 * r, r), Room(0, 1.45, 1.3)),
    }
)
NO_FRAME = Room(0, 2.3, 1.7)
FRAMES = ("none", *_FRAMES)


def frame_path(frame: str, x: float, y: float, r: float) -> str:
    """The outline round (x, y); empty for no frame, dashed for one that has no name here."""
    if frame in ("", "none"):
        return ""
    outline, _ = _FRAMES.get(frame, _FRAMES["other"])
    kind = "mark-frame" if frame in _FRAMES and frame != "other" else "mark-frame mark-other"
    return f'<g transform="translate({num(x)} {num(y)})">{path(outline(r), kind)}</g>'


def room_in(frame: str, r: float) -> Room:
    """The box for letters in a frame of that reach."""
    room = NO_FRAME if frame in ("", "none") else _FRAMES.get(frame, _FRAMES["other"])[1]
    return Room(room.down * r, room.width * r, room.height * r)


def frame_drawing(frame: str, words: str = "") -> str:
    """A small icon to tap on; leave ``words`` empty where the name stands beside it."""
    room = room_in(frame, 14)
    letter = text(20, 20 + room.down + 4.2, "A", "mark-letter", 12)
    return drawing(40, 40, frame_path(frame, 20, 20, 14) + letter, words=words, kind="mark-icon")
