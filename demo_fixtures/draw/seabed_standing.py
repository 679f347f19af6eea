"""What stands on a bed behind a find: tiers of rock, the posts of a wharf, a meadow of eelgrass."""

import numpy as np
from PIL import Image, ImageDraw

from .beds import BedLook
from .colour import Light, from_hex, mix
from .noise import Field, blur, fractal, smoothstep


def ledge(light: Light, size: tuple[int, int], look: BedLook, rng: np.random.Generator) -> Light:
    """Two tiers of rock rising out of the haze behind the bed, from one side."""
    flip = rng.random() < 0.5
    for depth in (0.8, 0.55):
        light = _tier(light, size, depth, flip, look, rng)
    return _boulders(light, size, look, rng)


def _tier(
    light: Light, size: tuple[int, int], depth: float, flip: bool, look: BedLook, rng: np.random.Generator
) -> Light:
    """One tier; `depth` 0 is close, 1 lost in haze. It ends on the bed, whose nearer part it leaves free."""
    width, height = size
    skyline = fractal(rng, (width, 2), cell_px=width / 3, octaves=6, gain=0.55)[0]
    fall = np.linspace(0.06, 0.42, width, dtype=np.float32)
    top = (fall[::-1] if flip else fall) + 0.22 * (skyline - 0.5) - 0.04 * (1 - depth) + 0.04
    foot = 0.40 + 0.06 * (1 - depth) + 0.03 * (fractal(rng, (width, 2), cell_px=60, octaves=4)[0] - 0.5)
    y = (np.arange(height, dtype=np.float32) / height)[:, None]
    mask = smoothstep(0, 0.012, y - top[None, :]) * smoothstep(0.012, 0, y - foot[None, :])
    rough = fractal(rng, size, cell_px=width / 6, octaves=6, gain=0.62, stretch=1.2)
    lit = np.clip(-np.gradient(blur(rough, 1.5), axis=0) * 26 + 0.5, 0, 1)
    stone = mix(from_hex("#22303a"), from_hex("#a9a995"), lit * (0.5 + 0.5 * rough))
    crust = smoothstep(0.6, 0.68, fractal(rng, size, cell_px=width / 9, octaves=5))
    stone = mix(stone, from_hex("#8d5468"), 0.55 * crust)
    return mix(light, mix(stone, from_hex(look.haze), 0.2 + 0.5 * depth), mask)


def _boulders(light: Light, size: tuple[int, int], look: BedLook, rng: np.random.Generator) -> Light:
    """Rounded stones at both sides of the middle distance, in front of the ledge."""
    width, height = size
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    rough = fractal(rng, size, cell_px=width / 8, octaves=5, gain=0.6)
    for number in range(9):
        near = 0.1 + 0.5 * number / 8
        side = -1 if rng.random() < 0.5 else 1
        cx = width * (0.5 + side * rng.uniform(0.3, 0.55))
        cy = height * (0.40 + 0.34 * near)
        r = width * (0.05 + 0.13 * near) * rng.uniform(0.7, 1.2)
        across, up = (x - cx) / r, (cy - y) / (0.62 * r)
        body = 1 - across**2 - np.where(up > 0, up, 2.2 * up) ** 2 + 0.5 * (rough - 0.5)
        mask = smoothstep(0.0, 0.12, body)
        lit = np.clip(0.45 + 0.4 * up - 0.22 * across, 0.08, 1) * (0.55 + 0.8 * rough)
        stone = mix(from_hex("#27343a"), from_hex("#b9b7a0"), lit)
        stone = mix(stone, from_hex("#8d5468"), 0.4 * smoothstep(0.6, 0.7, rough))
        light = mix(light, mix(stone, from_hex(look.haze), 0.46 - 0.42 * near), mask)
    return light


def piles(
    light: Light, size: tuple[int, int], look: BedLook, horizon: float, rng: np.random.Generator
) -> Light:
    """Posts of a wharf, row behind row, standing from the bed up out of the picture."""
    width, height = size
    grain = fractal(rng, size, cell_px=width / 18, octaves=5, gain=0.6, stretch=0.15)
    crust = smoothstep(0.52, 0.66, fractal(rng, size, cell_px=width / 22, octaves=4))
    for near, count in ((0.02, 7), (0.14, 4), (0.34, 2)):
        starts = rng.permutation(count) if near < 0.3 else np.array([-0.18, count - 0.82])
        for start in starts:
            middle = width * (start + rng.uniform(0.3, 0.7)) / count
            foot = height * (horizon + 0.02 + 0.6 * near)
            light = _pile(light, (middle, foot), width * (0.018 + 0.16 * near), near, grain, crust, look)
    return light


def _pile(
    light: Light,
    foot: tuple[float, float],
    half: float,
    near: float,
    grain: Field,
    crust: Field,
    look: BedLook,
) -> Light:
    """One post: lit from the left, overgrown, darker at its foot and paler with the distance."""
    height, width = light.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    across = (x - foot[0] + 0.03 * (foot[1] - y)) / half
    rounded = foot[1] + 0.3 * half * np.sqrt(np.clip(1 - across**2, 0, 1))
    mask = smoothstep(1.0, 0.93, np.abs(across)) * smoothstep(2, -2, y - rounded)
    wood = mix(
        from_hex("#1d1c13"), from_hex("#83744f"), np.clip(0.6 - 0.5 * across, 0, 1) * (0.4 + 0.8 * grain)
    )
    wood = mix(wood, from_hex("#a8a184"), 0.5 * crust * np.clip(0.8 - 0.5 * across, 0, 1))
    wood = wood * (1 - 0.55 * np.exp(-np.clip(foot[1] - y, 0, None) / (1.2 * half)))[..., None]
    shade = np.exp(-(((x - foot[0] - 1.2 * half) / (1.9 * half)) ** 2) - ((y - foot[1]) / (0.5 * half)) ** 2)
    light = light * (1 - 0.5 * shade)[..., None]
    return mix(light, mix(wood, from_hex(look.haze), 0.78 * (1 - near) ** 4), mask)


def eelgrass(
    light: Light, size: tuple[int, int], look: BedLook, horizon: float, rng: np.random.Generator
) -> Light:
    """Long ribbons bending one way, dense behind the find and thinning out towards the eye."""
    width, height = size
    sway = float(rng.choice([-1, 1]) * rng.uniform(0.25, 0.5))
    for near, count, soft in ((0.0, 190, 1.6), (0.16, 120, 1.2), (0.34, 56, 1.0)):
        tone = Image.new("L", size, 0)
        pen = ImageDraw.Draw(tone)
        for _ in range(count):
            x = width * rng.uniform(-0.15, 1.15)
            if near > 0.1 and abs(x / width - 0.5) < 0.10 + 0.35 * near:
                continue
            y = height * (horizon + 0.01 + (0.75 + 0.25 * rng.random()) * near)
            tall = height * (0.16 + 0.34 * near) * rng.uniform(0.6, 1.25)
            bend, own = sway * rng.uniform(0.5, 1.4), rng.uniform(0, 6)
            points = [
                (x + bend * tall * t**2 + 0.03 * tall * np.sin(6 * t + own), y - tall * t)
                for t in np.linspace(0, 1, 14)
            ]
            wide = max(1, round(width * (0.004 + 0.016 * near) * rng.uniform(0.7, 1.3)))
            pen.line(points, fill=int(rng.integers(70, 255)), width=wide, joint="curve")
        shade = blur(np.asarray(tone, dtype=np.float32) / 255, soft)
        solid = smoothstep(0.02, 0.25, shade)
        blade = mix(from_hex("#1d3f22"), from_hex("#8fb05a"), shade)
        light = mix(light, mix(blade, from_hex(look.haze), 0.55 * (1 - near) ** 3), 0.92 * solid)
    return light
