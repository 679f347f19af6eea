"""Bases rendered with lettering of known place and known height; everything by this script alone."""

from dataclasses import dataclass

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

WORD = "TERN&HOLLIS46"


def glyph(character: str, tall: int) -> np.ndarray:
    """One character as a square mask (0 to 1), its ink's centre of gravity in the middle pixel."""
    side = 2 * tall + 1
    font = ImageFont.load_default(tall / 0.72)
    big = Image.new("L", (4 * side, 4 * side), 0)
    ImageDraw.Draw(big).text((2 * side, 2 * side), character, 255, font=font, anchor="mm", stroke_width=1)
    ink = np.asarray(big, dtype=np.float64)
    y, x = (ink.sum(axis=1 - axis) @ np.arange(4 * side) / ink.sum() for axis in (0, 1))
    move = np.float32([[1, 0, side // 2 - x], [0, 1, side // 2 - y]])
    return cv2.warpAffine(ink / 255, move, (side, side), flags=cv2.INTER_LINEAR).astype(np.float32)


def turned(mask: np.ndarray, clockwise_deg: float) -> np.ndarray:
    """A square mask turned about its middle pixel."""
    middle = (mask.shape[1] // 2, mask.shape[0] // 2)
    turn = cv2.getRotationMatrix2D(middle, -clockwise_deg, 1)
    return cv2.warpAffine(mask, turn, mask.shape[::-1], flags=cv2.INTER_LINEAR)


@dataclass(frozen=True)
class Base:
    """`mask` of the lettering; letter i of `word` stands at `turns[i]` degrees and `share` of the radius."""

    mask: np.ndarray
    word: str
    turns: list[float]
    share: float
    radius: float
    middle: tuple[float, float]

    def rim(self, count: int, first_deg: float = 20.0) -> list[tuple[float, float]]:
        turns = np.radians(first_deg + 360 * np.arange(count) / count)
        return [
            (self.middle[0] + self.radius * np.sin(t), self.middle[1] - self.radius * np.cos(t))
            for t in turns
        ]


def base(
    word: str = WORD,
    *,
    size: int = 800,
    share: float = 0.7,
    tall: int = 56,
    outward: bool = True,
    first_deg: float = 9.0,
) -> Base:
    """Letters set evenly around a base, heads to the rim (or to the middle, then read anticlockwise)."""
    mask = np.zeros((size, size), dtype=np.float32)
    middle, radius = (size / 2 - 0.5 + 3.0, size / 2 - 0.5 - 2.0), 0.46 * size
    turns = []
    for place, character in enumerate(word):
        turn = first_deg + (1 if outward else -1) * 360 * place / len(word)
        x = middle[0] + share * radius * np.sin(np.radians(turn))
        y = middle[1] - share * radius * np.cos(np.radians(turn))
        stamp = turned(glyph(character, tall), turn if outward else turn + 180)
        # The rest of a pixel is made by moving the stamp itself.
        left, top = int(np.floor(x)), int(np.floor(y))
        rest = np.float32([[1, 0, x - left], [0, 1, y - top]])
        stamp = cv2.warpAffine(stamp, rest, stamp.shape[::-1])
        half = stamp.shape[0] // 2
        part = mask[top - half : top + half + 1, left - half : left + half + 1]
        np.maximum(part, stamp, out=part)
        turns.append(turn % 360)
    return Base(mask, word, turns, share, radius, middle)


def painted(made: Base) -> np.ndarray:
    """The base as a flat picture: dark letters on a light disc on a black ground (uint8, colours)."""
    size = made.mask.shape[0]
    y, x = np.mgrid[0:size, 0:size]
    disc = np.hypot(x - made.middle[0], y - made.middle[1]) <= made.radius
    grey = np.where(disc, 220 - 180 * made.mask, 0)
    return np.stack([grey, grey * 0.95, grey * 0.8], axis=2).astype(np.uint8)


def tilt(made: Base, tilt_deg: float, about_deg: float, distance: float | None) -> np.ndarray:
    """Homography (3×3, picture to picture) of tilting the base about a line through its middle.

    `distance` of the camera in radii of the base; None for one very far away.
    """
    c, s = np.cos(np.radians(about_deg)), np.sin(np.radians(about_deg))
    lean, sink = np.cos(np.radians(tilt_deg)), np.sin(np.radians(tilt_deg))
    turn = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1.0]])
    fall = 0.0 if distance is None else sink / (distance * made.radius)
    flat = np.array([[1, 0, 0], [0, lean, 0], [0, fall, 1.0]])
    place = np.array([[1, 0, made.middle[0]], [0, 1, made.middle[1]], [0, 0, 1.0]])
    return place @ turn.T @ flat @ turn @ np.linalg.inv(place)


def seen(homography: np.ndarray, points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Where points go."""
    gone = np.column_stack([np.asarray(points), np.ones(len(points))]) @ homography.T
    return [tuple(p) for p in (gone[:, :2] / gone[:, 2:]).tolist()]


def normals_of(height: np.ndarray) -> np.ndarray:
    """True unit normals (3: right, up, towards) of a height map in pixels."""
    down, right = np.gradient(height.astype(np.float64))
    normal = np.stack([-right, down, np.ones_like(right)])
    return normal / np.sqrt((normal**2).sum(axis=0))


def lit(height: np.ndarray, clock: float, elevation_deg: float, *, albedo: float = 0.7) -> np.ndarray:
    """Amount of light sent back by a dull surface."""
    turn, rise = np.radians(30 * clock), np.radians(elevation_deg)
    lamp = np.array([np.sin(turn) * np.cos(rise), np.cos(turn) * np.cos(rise), np.sin(rise)])
    return albedo * np.clip(np.tensordot(lamp, normals_of(height), axes=1), 0, 1)


def photographed(light: np.ndarray, noise: float, rng: np.random.Generator) -> np.ndarray:
    """An 8-bit picture of amounts of light, with noise of that standard deviation (1: full light)."""
    noisy = np.clip(light + rng.normal(0, noise, light.shape), 0, 1)
    screen = np.where(noisy <= 0.0031308, 12.92 * noisy, 1.055 * noisy ** (1 / 2.4) - 0.055)
    return np.round(screen * 255).astype(np.uint8)


def raised_letters(
    mask: np.ndarray, tall_px: float, soft_px: float = 1.6, dome_px: float = 0.0
) -> np.ndarray:
    """A height map in pixels: letters of that height with rounded flanks on a gently domed ground."""
    size = mask.shape
    y, x = np.mgrid[-1 : 1 : size[0] * 1j, -1 : 1 : size[1] * 1j]
    return tall_px * cv2.GaussianBlur(mask, (0, 0), soft_px) - dome_px * (x**2 + y**2)
