"""What a bottle stands on and before: a sheet of paper, or the planks of a bench or quay."""

from dataclasses import dataclass

import numpy as np

from .colour import Light, from_hex, mix
from .noise import Field, blur, fractal, smooth_field, smoothstep


@dataclass(frozen=True, slots=True)
class Scene:
    """A ground without its bottle: light (h, w, 3), and the softened copy that glass bends."""

    light: Light
    soft: Light


def softened(light: Light, radius_px: float = 7.0) -> Light:
    """The ground out of focus."""
    return np.stack([blur(light[..., channel], radius_px) for channel in range(3)], axis=-1)


def _grid(size: tuple[int, int]) -> tuple[Field, Field]:
    """Shares of the way right and down for every pixel."""
    width, height = size
    x = (np.arange(width, dtype=np.float32) + 0.5) / width
    y = (np.arange(height, dtype=np.float32) + 0.5) / height
    return np.broadcast_to(x, (height, width)), np.broadcast_to(y[:, None], (height, width))


def paper(size: tuple[int, int], *, behind: bool, rng: np.random.Generator) -> Scene:
    """A bent sheet of sand-coloured paper, lit through from behind or from the left."""
    x, y = _grid(size)
    if behind:
        wall = mix(
            from_hex("#c3d5ca"),
            from_hex("#f6f8f1"),
            np.exp(-(((x - 0.5) / 0.36) ** 2 + ((y - 0.46) / 0.40) ** 2)),
        )
        table = mix(from_hex("#cfc7b4"), from_hex("#f0ead9"), np.exp(-(((x - 0.5) / 0.55) ** 2)))
    else:
        wall = mix(
            from_hex("#8fa8a0"),
            from_hex("#e3ded0"),
            np.exp(-(((x - 0.34) / 0.55) ** 2 + ((y - 0.62) / 0.55) ** 2)),
        )
        table = mix(from_hex("#b0a48f"), from_hex("#efe6d3"), np.exp(-(((x - 0.22) / 0.62) ** 2)))
    bend = smoothstep(0.72, 0.93, y)
    light = mix(wall, table, bend)
    grain = fractal(rng, size, cell_px=260, octaves=2)
    light = light * (0.975 + 0.05 * grain)[..., None]
    vignette = 1.0 - 0.22 * np.clip((np.hypot((x - 0.5) / 0.75, (y - 0.5) / 0.75) - 0.5) / 0.6, 0, 1) ** 2
    light = light * vignette[..., None]
    return Scene(light.astype(np.float32), light.astype(np.float32))


def bench(size: tuple[int, int], *, behind: bool, wet: bool, rng: np.random.Generator) -> Scene:
    """Weathered planks before a dim, out-of-focus wall; `wet` darkens them and adds a sheen."""
    x, y = _grid(size)
    glow = np.exp(-(((x - (0.5 if behind else 0.3)) / 0.42) ** 2 + ((y - 0.40) / 0.42) ** 2))
    dim, bright = ("#27403d", "#c9dbcf") if behind else ("#16302f", "#7f988d")
    wall = mix(from_hex(dim), from_hex(bright), glow)
    spots = blur(smooth_field(rng, size, (9, 11)), 12)
    wall = wall * (0.86 + 0.28 * spots)[..., None]
    edge = 0.80
    planks = _planks(size, edge, wet, rng)
    light = mix(wall, planks, smoothstep(edge - 0.004, edge + 0.004, y))
    light = light * (1 - 0.35 * np.exp(-(((y - edge) / 0.012) ** 2)))[..., None]
    return Scene(light.astype(np.float32), softened(light))


def _planks(size: tuple[int, int], edge: float, wet: bool, rng: np.random.Generator) -> Light:
    """Boards running away from the eye to a far edge at `edge` of the height."""
    width, height = size
    x, y = _grid(size)
    near = np.clip((y - edge) / (1 - edge), 0, 1)
    spread = 0.62 + 0.38 * near
    across = (x - 0.5) / spread + 0.5
    board = across * 4.4 + 0.35
    number = np.floor(board)
    tones = rng.uniform(0.72, 1.12, 16).astype(np.float32)
    tone = tones[np.clip(number + 4, 0, 15).astype(np.int32)]
    grain = fractal(rng, (width, height), cell_px=26, octaves=5, gain=0.7, stretch=0.25)
    lines = np.sin((across * 210 + 9 * grain + number * 7) * 1.3) * 0.5 + 0.5
    wood = mix(from_hex("#6d6555"), from_hex("#b3a68c"), np.clip(0.25 * lines + 0.75 * grain, 0, 1))
    wood = wood * tone[..., None]
    seam = np.abs(board - number - 0.5)
    wood = wood * (1 - 0.8 * smoothstep(0.482, 0.495, seam))[..., None]
    wood = wood * (0.62 + 0.5 * near)[..., None]
    if wet:
        sheen = smoothstep(0.42, 0.72, fractal(rng, size, cell_px=150, octaves=3, stretch=2.2))
        wood = mix(wood * 0.52, from_hex("#93aaa6"), 0.34 * sheen * (1 - 0.5 * near))
    return wood
