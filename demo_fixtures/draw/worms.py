"""Tube worms: white limy squiggles that wander over the glass and end in a round mouth."""

import numpy as np
from PIL import Image, ImageDraw

from .colour import from_hex
from .crust import Crust
from .noise import blur


def lay_worms(crust: Crust, weight: np.ndarray, count: int, rng: np.random.Generator) -> None:
    """Lay `count` tubes where `weight` allows them to start; they keep to the vessel."""
    rows, columns = np.nonzero(weight > 0.1)
    if not len(rows) or count <= 0:
        return
    layers = [Image.new("L", crust.size, 0) for _ in range(2)]
    pens = [ImageDraw.Draw(layer) for layer in layers]
    for _ in range(count):
        pick = rng.integers(len(rows))
        wide = rng.uniform(0.8, 1.9) * crust.scale
        path = _wander(crust, float(columns[pick]), float(rows[pick]), rng)
        for pen, share in zip(pens, (1.0, 0.5), strict=True):
            _tube(pen, path, wide * share)
        x, y = path[-1]
        mouth = wide * 0.30
        pens[1].ellipse((x - mouth, y - mouth, x + mouth, y + mouth), fill=0)
    broad, core = (np.asarray(layer, dtype=np.float32) / 255.0 for layer in layers)
    broad, core = blur(broad, 0.8), blur(core, 1.0)
    tint = from_hex("#efeae0") * (0.86 + 0.14 * core)[..., None]
    crust.height_px += 0.75 * crust.scale * (0.5 * broad + 0.5 * core)
    crust.colour += (tint - crust.colour) * np.clip(broad * 1.2, 0, 1)[..., None]
    crust.cover[:] = np.maximum(crust.cover, np.clip(broad * 1.3, 0, 1))


def _wander(crust: Crust, x: float, y: float, rng: np.random.Generator) -> list[tuple[float, float]]:
    """A path that bends at whim, coils now and then, and stops at the edge."""
    heading, bend = rng.uniform(0, 2 * np.pi), rng.normal(0, 0.12)
    coil = rng.random() < 0.25
    step = 0.9 * crust.scale
    path = [(x, y)]
    for _ in range(int(rng.integers(12, 46))):
        bend = (0.42 if coil else 0.0) + 0.85 * bend + rng.normal(0, 0.13)
        heading += bend
        x, y = x + step * float(np.cos(heading)), y + step * float(np.sin(heading))
        column, row = int(x), int(y)
        if not (0 <= column < crust.size[0] and 0 <= row < crust.size[1]) or crust.shape[row, column] < 0.9:
            break
        path.append((x, y))
    return path


def _tube(pen: ImageDraw.ImageDraw, path: list[tuple[float, float]], wide: float) -> None:
    """A tube that widens from its tail to its mouth."""
    last = len(path) - 1
    for number, (x, y) in enumerate(path):
        half = wide / 2 * (0.45 + 0.55 * number / max(1, last))
        pen.ellipse((x - half, y - half, x + half, y + half), fill=255)
        if number:
            pen.line((*path[number - 1], x, y), fill=255, width=max(1, round(2 * half)))
