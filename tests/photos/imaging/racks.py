"""Racks of bottles drawn fast, with the box of each: boards one above the other, tilted, with gaps, touching.

Glass is laid over what is behind it by the demo's own outlines and colours, without the demo's slow light:
thousands of bottles can be looked for in a minute.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from catalogue.photos.imaging import BottleBox
from demo_fixtures.draw.glass import GLASSES
from demo_fixtures.draw.noise import fractal
from demo_fixtures.draw.profiles import PROFILES

Box = tuple[float, float, float, float]
Light = NDArray[np.float32]
WALLS = ("limewash", "grey paint", "pine", "white tiles", "dark cellar")
COLOURS = ("aqua", "deep aqua", "amber", "olive", "cobalt", "emerald", "milk", "stoneware", "sun-purple")
UPRIGHT = (
    "tall soda",
    "squat soda",
    "beer",
    "ginger beer",
    "milk",
    "jar",
    "wine",
    "case",
    "poison",
    "ink cone",
)
TONES = {
    "limewash": (0.90, 0.88, 0.82),
    "grey paint": (0.62, 0.66, 0.68),
    "pine": (0.80, 0.66, 0.46),
    "white tiles": (0.93, 0.94, 0.95),
    "dark cellar": (0.34, 0.33, 0.31),
}


@dataclass(frozen=True, slots=True)
class Rack:
    """What to draw: `gaps` is the share of places left empty, `close` the share of bottles that touch."""

    boards: int = 2
    places: int = 8
    tilt_deg: float = 0.0
    wall: str = "limewash"
    seed: int = 0
    gaps: float = 0.0
    close: float = 0.0
    width: int = 1400
    board_high: int = 420
    from_above: bool = False
    """The boards' tops are seen, so that feet stand in front of the line where wall and board meet."""


@dataclass(frozen=True, slots=True)
class Tally:
    """How many bottles were drawn, how many of them got their box, how many boxes hold no bottle."""

    drawn: int = 0
    found: int = 0
    false: int = 0

    def __add__(self, other: "Tally") -> "Tally":
        return Tally(self.drawn + other.drawn, self.found + other.found, self.false + other.false)


def tally(proposed: Sequence[BottleBox], drawn: Sequence[Box], least: float = 0.3) -> Tally:
    """Boxes as sure as `least` against those drawn: a bottle is found where they share six tenths of both."""
    left = [(b.left, b.top, b.right, b.bottom) for b in proposed if b.confidence >= least]
    found = 0
    for box in drawn:
        best = max(left, key=lambda other: shared(other, box), default=None)
        if best is not None and shared(best, box) > 0.6:
            left.remove(best)
            found += 1
    return Tally(len(drawn), found, len(left))


def shared(one: Box, other: Box) -> float:
    """Shared area by joint area."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    tall = min(one[3], other[3]) - max(one[1], other[1])
    common = max(wide, 0.0) * max(tall, 0.0)
    areas = sum((box[2] - box[0]) * (box[3] - box[1]) for box in (one, other))
    return common / (areas - common)


def draw_rack(rack: Rack) -> tuple[NDArray[np.uint8], list[Box]]:
    """The picture (height, width, 3) and the boxes (left, top, right, bottom) of its bottles."""
    rng = np.random.default_rng([rack.seed, 77])
    margin = 0.12
    wide = round(rack.width * (1 + 2 * margin))
    high = round(rack.board_high * rack.boards * (1 + 2 * margin))
    light = _wall(rack, wide, high, rng)
    outlines: list[NDArray[np.float64]] = []
    at = (margin * rack.board_high * rack.boards) + rack.board_high
    for _ in range(rack.boards):
        foot = _board(light, rack, round(at - 0.1 * rack.board_high), rng)
        outlines += _row(light, rack, foot, margin * rack.width, rng)
        at += rack.board_high
    if rack.boards * rack.board_high < high:
        _board(light, rack, round((margin * rack.boards - 0.1) * rack.board_high), rng)
    light += rng.normal(0, 0.008, light.shape).astype(np.float32)
    turn = cv2.getRotationMatrix2D((wide / 2, high / 2), rack.tilt_deg, 1.0)
    turned = cv2.warpAffine(light, turn, (wide, high), flags=cv2.INTER_AREA)
    left, top = round(margin * rack.width), round(margin * rack.board_high * rack.boards)
    size = rack.width, rack.board_high * rack.boards
    picture = turned[top : top + size[1], left : left + size[0]]
    boxes: list[Box] = []
    for outline in outlines:
        points = outline @ turn[:, :2].T + turn[:, 2] - (left, top)
        seen = np.clip(points, 0, size)
        edges = (*seen.min(axis=0).tolist(), *seen.max(axis=0).tolist())
        # A bottle that the picture's edge cuts counts while most of it is seen.
        if (edges[2] - edges[0]) * (edges[3] - edges[1]) > 0.5 * float(np.ptp(points, axis=0).prod()):
            boxes.append(edges)
    return np.asarray(np.clip(picture * 255, 0, 255).astype(np.uint8)), boxes


def _wall(rack: Rack, wide: int, high: int, rng: np.random.Generator) -> Light:
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    glow = 0.72 + 0.28 * np.exp(-(((x / wide - 0.3) / 0.6) ** 2) - ((y / high - 0.3) / 0.8) ** 2)
    grain = 0.94 + 0.12 * fractal(rng, (wide, high), cell_px=60, octaves=4, gain=0.6, stretch=0.2)
    light = np.asarray(TONES[rack.wall], dtype=np.float32) * (glow * grain)[..., None]
    if rack.wall in ("limewash", "pine"):
        light *= np.where(x % (wide / 9) < 3, 0.86, 1.0)[..., None]
    return np.asarray(light, dtype=np.float32)


def _board(light: Light, rack: Rack, top: int, rng: np.random.Generator) -> int:
    """A board whose upper edge is at the row `top`; the row on which the feet stand."""
    high, wide = light.shape[:2]
    thick, deep = round(0.055 * rack.board_high), round(0.045 * rack.board_high) if rack.from_above else 0
    wood = np.asarray((0.62, 0.48, 0.32), dtype=np.float32) * (0.8 if rack.wall == "pine" else 1)
    grain = 0.8 + 0.4 * fractal(rng, (wide, thick + deep), cell_px=22, octaves=4, gain=0.6, stretch=9.0)
    part = light[top : top + thick + deep]
    part[:] = (wood * grain[..., None])[: len(part)]
    part[deep:] *= 0.62
    below = light[top + thick + deep : top + thick + deep + round(0.12 * rack.board_high)]
    fade = np.linspace(0.55, 1, len(below), dtype=np.float32)
    below *= fade[:, None, None]
    return top + round(0.6 * deep)


def _row(
    light: Light, rack: Rack, foot: int, left: float, rng: np.random.Generator
) -> list[NDArray[np.float64]]:
    """Bottles on one board; the outline of each as points (x, y)."""
    step = rack.width / rack.places
    outlines = []
    x = left + 0.02 * rack.width
    while True:
        profile = PROFILES[str(rng.choice(UPRIGHT))]
        short = "ink" in profile.words
        tall = rack.board_high * (rng.uniform(0.28, 0.4) if short else rng.uniform(0.52, 0.8))
        wide = min(0.82 * step, tall * (0.8 if short else rng.uniform(0.26, 0.4)))
        touches = rng.random() < rack.close
        x += 1 if touches else rng.uniform(0.1, 0.45) * (step - wide) + 0.06 * step
        if x + wide > left + 0.98 * rack.width:
            return outlines
        if rng.random() >= rack.gaps:
            lift = rng.uniform(-0.012, 0.012) * rack.board_high if rack.from_above else 0
            colour = str(rng.choice(COLOURS))
            outlines.append(_bottle(light, profile.points, colour, (x + wide / 2, foot + lift), (wide, tall)))
        x += wide + (0 if touches else 0.3 * (step - wide))


def _bottle(
    light: Light,
    points: Sequence[tuple[float, float]],
    colour: str,
    foot: tuple[float, float],
    size: tuple[float, float],
) -> NDArray[np.float64]:
    """One bottle laid over the picture: light through two walls, dark edges, a streak of the window."""
    wide, tall = size
    heights, radii = np.asarray(points, dtype=np.float64).T
    rows = np.arange(round(foot[1] - tall), round(foot[1]))
    radius = np.interp((foot[1] - rows - 0.5) / tall, heights, radii) * wide / 2
    radius[: max(2, round(0.05 * tall))] *= 1.16
    columns = np.arange(int(foot[0] - wide / 2) - 2, int(foot[0] + wide / 2) + 3)
    across = (columns[None, :] + 0.5 - foot[0]) / radius[:, None]
    cover = np.clip((1 - np.abs(across)) * radius[:, None] + 0.5, 0, 1)
    glass = GLASSES[colour]
    path = 7.0 / np.sqrt(np.clip(1 - across**2, 0.03, 1))
    part = light[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    if glass.body is None:
        seen = part * glass.through(path.astype(np.float32)) * 0.94
    else:
        seen = np.asarray(glass.body) * (0.5 + 0.5 * np.sqrt(np.clip(1 - across**2, 0, 1)))[..., None]
    streak = 0.45 * np.exp(-(((across + 0.5) / 0.1) ** 2)) + 0.2 * np.exp(-(((across - 0.62) / 0.07) ** 2))
    seen = seen + streak[..., None] * (1 - seen)
    part[:] = part * (1 - cover[..., None]) + seen * cover[..., None]
    y = np.concatenate([rows, rows[::-1]])
    x = np.concatenate([foot[0] - radius, foot[0] + radius[::-1]])
    return np.column_stack([x, y + 0.5])
