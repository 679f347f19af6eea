"""A view of a place where people dive: what its name says is what is drawn."""

import numpy as np
from PIL import Image

from .colour import Light, from_hex, mix, to_image
from .noise import blur, fractal, smoothstep
from .seabed import drift, seabed
from .site_built import pilings, stairs
from .site_cove import beacon, headlands, shingle
from .site_shore import shore

SIZE = (1200, 750)


def draw_site(name: str, seed: int = 0, *, size: tuple[int, int] = SIZE) -> Image.Image:
    """Picture a site: stairs, pilings or a cove from the shore; a ledge or a bank from under water."""
    rng = np.random.default_rng([seed, *name.encode()])
    words = name.lower()
    if "ledge" in words or "bank" in words or "reef" in words:
        return to_image(ledge_or_bank(size, rng, rocks="bank" not in words))
    light, water_line = shore(size, rng)
    if "stairs" in words or "steps" in words or "quay" in words:
        light = stairs(light, size, water_line, rng)
    elif "piling" in words or "pier" in words or "wharf" in words:
        light = pilings(light, size, water_line, rng)
    else:
        light, crest = headlands(light, size, water_line, rng)
        if "lantern" in words or "light" in words or "beacon" in words:
            light = beacon(light, size, crest)
        light = shingle(light, size, rng)
    if rng.random() < 0.5:
        light = light[:, ::-1]
    return to_image(light)


def ledge_or_bank(size: tuple[int, int], rng: np.random.Generator, *, rocks: bool) -> Light:
    """Under water: the open bed, or a ledge of rock stepping into the haze."""
    light = seabed(size, rng=rng).light
    if rocks:
        for depth in (0.85, 0.5, 0.12):
            light = _rock(light, size, depth, rng)
    return drift(light, rng, specks=190)


def _rock(light: Light, size: tuple[int, int], depth: float, rng: np.random.Generator) -> Light:
    """One tier of the ledge; `depth` 0 is close, 1 lost in haze."""
    width, height = size
    skyline = fractal(rng, (width, 2), cell_px=width / (3 + 3 * depth), octaves=6, gain=0.52)[0]
    slope = np.linspace(-0.5, 0.65, width, dtype=np.float32)
    top = 0.30 + 0.40 * (1 - depth) - 0.55 * (skyline - 0.35) * (1 - 0.45 * depth) - 0.30 * slope
    y = (np.arange(height, dtype=np.float32) / height)[:, None]
    below = y - top[None, :]
    mask = smoothstep(0, 0.006 + 0.012 * depth, below)
    rough = fractal(rng, size, cell_px=120, octaves=6, gain=0.62, stretch=2.4)
    lit = np.clip(-np.gradient(blur(rough, 1.5), axis=0) * 26 + 0.5, 0, 1)
    stone = mix(from_hex("#1c322f"), from_hex("#b3b596"), lit * (0.5 + 0.5 * rough))
    stone = stone * (0.55 + 0.75 * np.exp(-np.clip(below, 0, 1) * 9))[..., None]
    crust = smoothstep(0.62, 0.68, fractal(rng, size, cell_px=70, octaves=5)) * np.exp(
        -np.clip(below, 0, 1) * 7
    )
    stone = mix(stone, from_hex("#9a6472"), 0.5 * crust)
    stone = mix(stone, from_hex("#2f7672"), 0.06 + 0.80 * depth)
    return mix(light, stone, mask)
