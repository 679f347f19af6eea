"""A shelf of bottles side by side, as they wait to be taken into the catalogue."""

from collections.abc import Sequence

import numpy as np
from PIL import Image

from .colour import from_hex, mix, to_image
from .grounds import softened
from .growth import overgrow
from .lamps import STUDIO_SIDE
from .noise import blur, fractal, smoothstep
from .pose import Pose
from .shadow import lay_shadow
from .solid import build_solid
from .specs import BottleSpec
from .vessel import render

Box = tuple[int, int, int, int]
"""Left, top, right, bottom in pixels."""
BOARD = 0.86


def draw_shelf(
    specs: Sequence[BottleSpec], *, seed: int = 0, size: tuple[int, int] = (1680, 640), growth: float = 0.0
) -> tuple[Image.Image, list[Box]]:
    """Stand `specs` on a shelf from left to right; returns the picture and the box each one fills in it."""
    rng = np.random.default_rng([seed, 211])
    width, height = size
    picture = _shelf(size, rng)
    solids = [build_solid(spec) for spec in specs]
    total = sum(2 * solid.reach_mm for solid in solids)
    gap = 15.0
    tallest = max(solid.height_mm for solid in solids)
    scale = min(0.94 * width / (total + gap * (len(solids) + 1)), 0.80 * height / tallest)
    spare = (width / scale - total) / (len(solids) + 1)
    x, boxes = spare, []
    backdrop = softened(picture, 8)
    for number, (spec, solid) in enumerate(zip(specs, solids, strict=True)):
        foot = ((x + solid.reach_mm) * scale, (BOARD + rng.uniform(0.012, 0.032)) * height)
        vessel = render(
            spec, Pose(foot, scale, 6.0), size, room=STUDIO_SIDE, backdrop=backdrop, seed=seed * 31 + number
        )
        lay_shadow(picture, vessel, spec.colour, run=(0.42, -0.06), strength=0.5)
        part = vessel.window.part
        picture[part] = mix(picture[part], vessel.light, vessel.cover)
        if growth > 0:
            overgrow(picture, vessel, spec.lie, growth, seed * 31 + number, key=(-0.62, -0.5, 0.5))
        boxes.append(_box(vessel.cover, vessel.window.left, vessel.window.top))
        x += 2 * solid.reach_mm + spare
    return to_image(picture), boxes


def _box(cover: np.ndarray, left: int, top: int) -> Box:
    rows, columns = np.nonzero(cover.max(axis=1) > 0.5)[0], np.nonzero(cover.max(axis=0) > 0.5)[0]
    return (
        int(left + columns[0]),
        int(top + rows[0]),
        int(left + columns[-1] + 1),
        int(top + rows[-1] + 1),
    )


def _shelf(size: tuple[int, int], rng: np.random.Generator) -> np.ndarray:
    """Limewashed boards behind, a thick old plank below, light from a window on the left."""
    width, height = size
    x = np.broadcast_to((np.arange(width, dtype=np.float32) + 0.5) / width, (height, width))
    y = np.broadcast_to(((np.arange(height, dtype=np.float32) + 0.5) / height)[:, None], (height, width))
    glow = np.exp(-(((x - 0.30) / 0.55) ** 2 + ((y - 0.35) / 0.75) ** 2))
    wall = mix(from_hex("#7f948b"), from_hex("#f1ecdd"), glow)
    board = x * 9 + 0.3
    seam = np.abs(board - np.floor(board) - 0.5)
    streaks = fractal(rng, size, cell_px=60, octaves=5, gain=0.6, stretch=0.12)
    wall = wall * ((1 - 0.16 * smoothstep(0.485, 0.496, seam)) * (0.93 + 0.12 * streaks))[..., None]
    wall = wall * (1 - 0.28 * smoothstep(BOARD - 0.16, BOARD, y) ** 2)[..., None]
    grain = fractal(rng, size, cell_px=22, octaves=5, gain=0.65, stretch=9.0)
    wood = mix(from_hex("#5b4a34"), from_hex("#b59a70"), np.clip(0.2 + 0.8 * grain, 0, 1))
    front = smoothstep(0.938, 0.943, y)
    wood = wood * ((1.12 - 0.38 * x) * (1 - 0.5 * front) * (1 - 0.3 * smoothstep(0.97, 1.0, y)))[..., None]
    wood = wood * (1 + 0.35 * np.exp(-(((y - 0.939) / 0.004) ** 2)))[..., None]
    light = mix(wall, wood, smoothstep(BOARD - 0.003, BOARD + 0.003, y))
    shade = np.exp(-(((y - BOARD) / 0.01) ** 2))
    return (light * (1 - 0.3 * blur(shade, 1))[..., None]).astype(np.float32)
