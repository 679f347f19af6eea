"""The height map of a base seen straight on: bearing ring, hollow, scar, stippling, raised characters."""

import numpy as np
from PIL import Image, ImageDraw

from .arrays import Floats
from .frames import figure, frame
from .lettering import around, width_of, word
from .noise import blur, fractal, smoothstep
from .specs import BaseMark

Map = Floats
RAISED_MM = 0.75


def base_height(mark: BaseMark, *, size: int = 800, wear: float = 0.0, seed: int = 0) -> tuple[Map, float]:
    """Heights towards the eye in mm (size, size), and mm per pixel. Outside the base the map falls away.

    `wear` 0 is as made, 1 worn so far that characters go missing.
    """
    mm_per_px = mark.diameter_mm * 1.14 / size
    rng = np.random.default_rng([seed, 5])
    around_mm = _from_middle(mark, size, mm_per_px)
    radius = mark.diameter_mm / 2
    height = _body(mark, around_mm / radius, rng, size)
    letters = _characters(mark, size, 1 / mm_per_px)
    soft = 0.16 + 0.30 * wear
    relief = RAISED_MM * np.clip(blur(letters, soft / mm_per_px) * 1.18, 0, 1)
    patches = fractal(rng, (size, size), cell_px=size / 4, octaves=5, gain=0.6)
    left = 1 - np.clip(wear * 1.25 - 0.25, 0, 1) * 0.5 - wear * smoothstep(0.62 - 0.35 * wear, 0.72, patches)
    height = height + relief * np.clip(left, 0, 1) * (1 - 0.35 * wear)
    # Glass from an iron mould is never quite even.
    height = height + 0.16 * (fractal(rng, (size, size), cell_px=size / 7, octaves=3, gain=0.42) - 0.5)
    if wear:
        height = height - _scratches(around_mm / radius, size, wear, rng)
    return height.astype(np.float32), mm_per_px


def _from_middle(mark: BaseMark, size: int, mm_per_px: float) -> Map:
    """Distance from the middle in mm; for a square base the distance that makes it square."""
    axis = (np.arange(size, dtype=np.float32) + 0.5 - size / 2) * mm_per_px
    x, y = np.abs(axis)[None, :], np.abs(axis)[:, None]
    distance: Map = np.hypot(x, y)
    if mark.square_base:
        distance = ((x**7 + y**7) ** (1 / 7)).astype(np.float32)
    return distance


def _body(mark: BaseMark, share: Map, rng: np.random.Generator, size: int) -> Map:
    """The base itself, by share of the radius: heel, bearing ring, hollow, and any scar."""
    heel = -5.5 * np.clip((share - 0.93) / 0.07, 0, None) ** 2
    ring = 1.5 * smoothstep(0.76, 0.88, share)
    hollow = -1.5 * (1 - np.clip(share / 0.86, 0, 1) ** 2)
    height = np.maximum(heel, -9) + ring + hollow
    if mark.scar == "suction":
        wobble = 0.03 * (fractal(rng, (size, size), cell_px=size / 5, octaves=3) - 0.5)
        height = height - 0.30 * np.exp(-(((share + wobble - 0.66) / 0.012) ** 2))
    elif mark.scar == "valve":
        height = height + 0.32 * np.exp(-(((share - 0.24) / 0.014) ** 2))
    elif mark.scar == "pontil":
        rough = fractal(rng, (size, size), cell_px=size / 26, octaves=4, gain=0.8)
        lump = np.exp(-(((share - 0.30) / 0.085) ** 2)) * smoothstep(0.25, 0.6, rough + 0.1)
        height = height + 2.3 * lump * (0.55 + 0.9 * rough)
    elif mark.scar == "kick":
        height = height - 7.0 * np.clip(1 - (share / 0.62) ** 2, 0, 1) ** 1.4
    if mark.stippling:
        dots = np.sin(np.arange(size) * 2 * np.pi * 34 / size).astype(np.float32)
        grid = np.clip(dots[:, None] * dots[None, :], 0, 1)
        height = height + 0.30 * grid * smoothstep(0.80, 0.84, share) * smoothstep(0.96, 0.92, share)
    result: Map = height.astype(np.float32)
    return result


def _characters(mark: BaseMark, size: int, px_per_mm: float) -> Map:
    """All raised characters as a soft-edged mask, 0 to 1."""
    mask = Image.new("L", (size, size), 0)
    pen = ImageDraw.Draw(mask)
    middle, unit = size / 2, mark.diameter_mm / 62.0 * px_per_mm
    line = max(2, round(0.85 * unit))
    half = 9.8 * unit if mark.town or mark.extra else 12.5 * unit
    if mark.scar == "kick":
        half *= 0.9
    letters_y = middle - (3.2 * unit if mark.symbol else 0)
    if mark.frame:
        frame(pen, mark.frame, (middle, middle), half, line)
    if mark.letters:
        room = half * (1.62 if mark.frame else 2.3)
        tall = half * (0.78 if mark.symbol else 0.95)
        tall *= min(1.0, room / width_of(mark.letters, round(tall), 0.08))
        word(
            mask,
            mark.letters,
            (middle, letters_y),
            round(tall),
            stroke_px=max(1, round(0.2 * unit)),
            spacing=0.08,
        )
    if mark.symbol:
        below = middle + (5.6 * unit if mark.letters else 0)
        figure(pen, mark.symbol, (middle, below), 4.6 * unit, line)
    beside, digits = half * 1.42 + 3.4 * unit, round(6.0 * unit)
    edge = {"hexagon": 1.22, "diamond": 1.5, "oval": 1.3, "rectangle": 1.35}.get(mark.frame, 1.05)
    for text, dx, dy in ((mark.left, -1, 0), (mark.right, 1, 0), (mark.above, 0, -1), (mark.below, 0, 1)):
        if text:
            off = (
                max(beside, half * edge + 2 * unit + width_of(text, digits) / 2)
                if dx
                else half * 1.15 + 4.4 * unit
            )
            word(
                mask,
                text,
                (middle + dx * off, middle + dy * off),
                digits,
                stroke_px=max(1, round(0.18 * unit)),
            )
    for text, turn, tall in ((mark.town, 180, 4.6), *((wording, 0, 4.0) for wording in mark.extra)):
        if text:
            radius = 19.6 * unit
            around(mask, text, (middle, middle), radius, turn, round(tall * unit), stroke_px=1, spacing=0.22)
    return np.asarray(mask, dtype=np.float32) / 255.0


def _scratches(share: Map, size: int, wear: float, rng: np.random.Generator) -> Map:
    """Scuffs, mostly on the ring it stood on."""
    mask = Image.new("L", (size, size), 0)
    pen = ImageDraw.Draw(mask)
    for _ in range(round(160 * wear)):
        x, y = rng.uniform(0, size, 2)
        turn, long = rng.uniform(0, np.pi), rng.gamma(2, size / 60)
        pen.line((x, y, x + long * np.cos(turn), y + long * np.sin(turn)), fill=int(rng.integers(60, 200)))
    lines = blur(np.asarray(mask, dtype=np.float32) / 255.0, 0.6)
    result: Map = 0.10 * lines * (0.35 + 0.65 * np.exp(-(((share - 0.9) / 0.08) ** 2)))
    return result
