"""A cove: two headlands, a beacon, a shingle beach."""

import numpy as np

from .colour import Light, from_hex, mix
from .noise import blur, fractal, smoothstep

BEACON = 0.105


def headlands(
    light: Light, size: tuple[int, int], meet: float, rng: np.random.Generator
) -> tuple[Light, float]:
    """Two arms of land, the far one pale; also the row (a share) of the near one's crest, for a beacon."""
    width, height = size
    y = (np.arange(height, dtype=np.float32) / height)[:, None]
    x = np.linspace(0, 1, width, dtype=np.float32)
    for side, reach, tall, haze in ((1, 0.55, 0.12, 0.70), (-1, 0.34, 0.22, 0.30)):
        along = np.clip((x - (1 - reach)) / reach if side > 0 else (reach - x) / reach, 0, 1)
        rough = fractal(rng, (width, 2), cell_px=width / 7, octaves=6, gain=0.5)[0]
        top = meet - tall * along**0.55 * (0.55 + 0.75 * rough)
        mask = smoothstep(0, 0.004, y - top[None, :]) * smoothstep(0.006, 0, y - meet - 0.004)
        mask = mask * (along > 0)[None, :]
        land = _cliff(size, rng)
        light = mix(light, mix(land, from_hex("#c9d3c8"), haze), mask)
        mirror = smoothstep(meet, meet + 0.003, y) * smoothstep(0.0, -0.03, y - 2 * meet + top[None, :])
        light = light * (1 - 0.42 * (1 - haze) * mirror)[..., None]
    return light, float(top[round(BEACON * width)])


def _cliff(size: tuple[int, int], rng: np.random.Generator) -> Light:
    rough = fractal(rng, size, cell_px=60, octaves=6, gain=0.62, stretch=0.7)
    lit = np.clip(np.gradient(blur(rough, 1.2), axis=1) * 24 + 0.5, 0, 1)
    return mix(from_hex("#2f4438"), from_hex("#9c9674"), lit * rough * 1.3)


def beacon(light: Light, size: tuple[int, int], crest: float) -> Light:
    """A whitewashed tower with its lamp lit, on the near headland."""
    width, height = size
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    foot, tall = (BEACON * width, (crest + 0.006) * height), 0.17 * height
    up = (foot[1] - y) / tall
    across = (x - foot[0]) / (width * (0.0145 - 0.0045 * np.clip(up, 0, 1)))
    body = smoothstep(1.04, 0.96, np.abs(across)) * (up > 0) * (up < 0.82)
    white = mix(from_hex("#8d978f"), from_hex("#fbf6e8"), np.clip(0.62 + 0.5 * across, 0, 1))
    band = ((up > 0.36) & (up < 0.55)).astype(np.float32)
    light = mix(light, mix(white, from_hex("#8e4a35"), band), body.astype(np.float32))
    head = smoothstep(0.80, 0.7, np.abs(across)) * (up >= 0.82) * (up < 0.97)
    light = mix(light, from_hex("#ffe3a0"), head.astype(np.float32))
    roof = (np.abs(across) < 9.0 * (1.06 - up)) & (up >= 0.96) & (up < 1.06)
    light = mix(light, from_hex("#2d3a36"), roof.astype(np.float32))
    glow = np.exp(-(((x - foot[0]) / (0.035 * width)) ** 2 + ((up - 0.9) / 0.35) ** 2))
    result: Light = light + 0.35 * glow[..., None] * from_hex("#ffdf9a")
    return result


def shingle(light: Light, size: tuple[int, int], rng: np.random.Generator) -> Light:
    """Pebbles along the near edge, wet where the water touches."""
    width, height = size
    x, y = np.meshgrid(
        np.linspace(0, 1, width, dtype=np.float32), np.arange(height, dtype=np.float32) / height
    )
    wobble = fractal(rng, (width, 2), cell_px=200, octaves=4)[0]
    edge = 0.94 - 0.17 * x**1.6 + 0.04 * (wobble - 0.5)[None, :]
    stones = fractal(rng, size, cell_px=8, octaves=3, gain=0.9, stretch=1.7)
    tone = fractal(rng, size, cell_px=5, octaves=2, stretch=1.6)
    beach = mix(from_hex("#544c3f"), from_hex("#d3c7ac"), smoothstep(0.15, 0.85, 0.6 * stones + 0.4 * tone))
    beach = beach * (0.5 + 0.5 * smoothstep(0.0, 0.07, y - edge))[..., None]
    light = mix(light, from_hex("#eef0e6"), 0.6 * np.exp(-(((y - edge) / 0.004) ** 2)))
    return mix(light, beach, smoothstep(0, 0.004, y - edge))
