"""The water seen from the shore: sky, waves, the far bank."""

import numpy as np

from .colour import Light, from_hex, mix
from .noise import Field, fractal, smoothstep


def shore(size: tuple[int, int], rng: np.random.Generator) -> tuple[Light, float]:
    """A pale morning sky over still water; returns it and the share of height where they meet."""
    width, height = size
    meet = 0.46
    x = np.broadcast_to((np.arange(width, dtype=np.float32) + 0.5) / width, (height, width))
    y = np.broadcast_to(((np.arange(height, dtype=np.float32) + 0.5) / height)[:, None], (height, width))
    clouds = fractal(rng, size, cell_px=230, octaves=6, gain=0.55, stretch=2.6)
    sun = np.exp(-(((x - 0.30) / 0.33) ** 2 + ((y - meet) / 0.25) ** 2))
    sky = mix(from_hex("#9dbcbb"), from_hex("#efe7d3"), smoothstep(0.0, meet, y))
    sky = mix(sky, from_hex("#fbf3de"), 0.75 * sun)
    sky = mix(sky, from_hex("#f4efe4"), 0.6 * smoothstep(0.50, 0.85, clouds) * smoothstep(meet, 0.1, y))
    near = np.clip((y - meet) / (1 - meet), 0.003, 1)
    waves = _waves(size, x, near, rng)
    water = mix(from_hex("#a9c4bd"), from_hex("#24524f"), near**0.55)
    water = water * (1 + 0.42 * waves)[..., None]
    glitter = np.exp(-(((x - 0.30) / (0.05 + 0.22 * near)) ** 2)) * smoothstep(0.15, 0.9, waves)
    water = mix(water, from_hex("#fff5dc"), 0.7 * glitter * (1 - 0.55 * near))
    return mix(sky, water, smoothstep(meet - 0.001, meet + 0.002, y)), meet


def _waves(size: tuple[int, int], x: Field, near: Field, rng: np.random.Generator) -> Field:
    """Small waves in perspective, -1 to 1."""
    texture = fractal(rng, (1024, 1024), cell_px=70, octaves=5, gain=0.6)
    across = ((x - 0.5) / (near + 0.06) * 70 + 4096).astype(np.int32) % 2048
    away = (60 / (near + 0.05)).astype(np.int32) % 2048
    across = np.where(across < 1024, across, 2047 - across)
    away = np.where(away < 1024, away, 2047 - away)
    ripple = fractal(rng, size, cell_px=15, octaves=3, stretch=6.0) - 0.5
    result: Field = np.clip(
        2.2 * (texture[away, across] - 0.5) * (0.3 + near) + 1.3 * ripple * (0.3 + 0.7 * near), -1, 1
    )
    return result


def far_bank(light: Light, size: tuple[int, int], meet: float, rng: np.random.Generator) -> Light:
    """A low shore across the water."""
    width, height = size
    rough = fractal(rng, (width, 2), cell_px=width / 4, octaves=6, gain=0.5)[0]
    y = (np.arange(height, dtype=np.float32) / height)[:, None]
    mask = smoothstep(0, 0.004, y - (meet - 0.02 - 0.10 * rough)[None, :]) * smoothstep(0.003, 0, y - meet)
    return mix(light, from_hex("#8ba39a"), 0.85 * mask)
