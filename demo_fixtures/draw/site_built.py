"""Things built at the water: a quay with steps, old posts."""

import numpy as np

from .colour import Light, from_hex, mix
from .noise import Field, fractal, smoothstep
from .site_shore import far_bank


def stairs(light: Light, size: tuple[int, int], meet: float, rng: np.random.Generator) -> Light:
    """A quay wall across the water's edge with worn steps cut into it, weed-green where the tide reaches."""
    width, height = size
    stone = fractal(rng, size, cell_px=90, octaves=6, gain=0.62)
    light = far_bank(light, size, meet, rng)
    light = _courses(light, size, stone, rng)
    rows, tide = 12, 0.66
    for number in range(rows):
        share = number / (rows - 1)
        top = 0.355 + 0.50 * share**1.12
        bottom = 0.355 + 0.50 * ((number + 1) / (rows - 1)) ** 1.12
        half = 0.105 + 0.055 * share
        weed = float(smoothstep(tide - 0.06, tide + 0.07, np.asarray([top], dtype=np.float32))[0])
        dim = 0.72 + 0.28 * share
        riser = mix(from_hex("#6d6858"), from_hex("#37482f"), weed) * dim
        tread = mix(from_hex("#d2c7ac"), from_hex("#7f8d57"), weed) * dim
        split = top + (bottom - top) * 0.46
        box = (0.5 - half) * width, (0.5 + half) * width
        light = _block(light, (box[0], top * height, box[1], split * height), tread, stone)
        light = _block(light, (box[0], split * height, box[1], bottom * height + 1), riser, stone)
        light = _block(
            light, (box[0], top * height, box[0] + 0.012 * width, bottom * height + 1), riser * 0.5, stone
        )
    return _waterline(light, size, 0.80, rng)


def _courses(light: Light, size: tuple[int, int], stone: Field, rng: np.random.Generator) -> Light:
    """The wall: courses of squared stone, each stone its own tone."""
    width, height = size
    y = np.broadcast_to((np.arange(height, dtype=np.float32) / height)[:, None], (height, width))
    x = np.broadcast_to((np.arange(width, dtype=np.float32) / width), (height, width))
    course = (y - 0.33) / 0.062
    row = np.clip(np.floor(course), 0, 15).astype(np.int32)
    starts, lengths = rng.uniform(0, 1, 16), rng.uniform(0.085, 0.13, 16)
    along = x / lengths[row] + starts[row]
    column = np.floor(along).astype(np.int32) % 16
    tones = rng.uniform(0.72, 1.1, (16, 16)).astype(np.float32)
    joint = smoothstep(0.035, 0.0, np.minimum(along % 1, 1 - along % 1).astype(np.float32))
    joint = np.maximum(joint, smoothstep(0.06, 0.0, np.minimum(course % 1, 1 - course % 1)))
    weed = smoothstep(0.56, 0.72, y + 0.10 * (stone - 0.5))
    wall = (
        mix(from_hex("#a39a82"), from_hex("#3f5138"), weed)
        * (tones[row, column] * (0.5 + 0.95 * stone))[..., None]
    )
    wall = wall * (1 - 0.6 * joint)[..., None] * (1.1 - 0.4 * x)[..., None]
    coping = smoothstep(0.004, 0.0, np.abs(y - 0.335) - 0.012)
    wall = mix(wall, from_hex("#d8cfb8") * (0.6 + 0.7 * stone)[..., None], coping)
    return mix(light, wall, smoothstep(0.322, 0.324, y))


def _block(light: Light, box: tuple[float, float, float, float], colour: Light, stone: Field) -> Light:
    """A slab with the grain of stone."""
    left, top, right, bottom = (max(0, round(edge)) for edge in box)
    patch = np.s_[top:bottom, left:right]
    light[patch] = colour * (0.55 + 0.9 * stone[patch])[..., None]
    return light


def _waterline(light: Light, size: tuple[int, int], level: float, rng: np.random.Generator) -> Light:
    """Clear water rising over whatever stands in it, with a line of foam."""
    width, height = size
    y = (np.arange(height, dtype=np.float32) / height)[:, None]
    wobble = fractal(rng, (width, 2), cell_px=110, octaves=4)[0]
    edge = level + 0.02 * (wobble - 0.5)[None, :]
    deep = smoothstep(0.0, 0.13, y - edge)
    ripple = fractal(rng, size, cell_px=16, octaves=3, stretch=5.0)
    water = from_hex("#2c5e59") * (0.75 + 0.6 * ripple)[..., None]
    light = mix(light, water, (0.42 + 0.5 * deep) * smoothstep(0, 0.003, y - edge))
    return mix(light, from_hex("#eef0e6"), 0.5 * np.exp(-(((y - edge) / 0.0035) ** 2)) * (ripple > 0.42))


def pilings(light: Light, size: tuple[int, int], meet: float, rng: np.random.Generator) -> Light:
    """Rows of old posts, the near ones tall and dark, with their broken likeness in the water."""
    light = far_bank(light, size, meet, rng)
    width, height = size
    grain = fractal(rng, size, cell_px=40, octaves=5, gain=0.6, stretch=0.12)
    rows = [(0.18, 11), (0.40, 8), (0.75, 5)]
    for near, count in rows:
        for number in range(count):
            x = width * (0.08 + 0.86 * (number + rng.uniform(0.15, 0.85)) / count)
            foot = height * (meet + 0.02 + (0.90 - meet) * near * rng.uniform(0.92, 1.05))
            tall = height * (0.10 + 0.40 * near) * rng.uniform(0.55, 1.1)
            half = width * (0.005 + 0.018 * near) * rng.uniform(0.85, 1.15)
            light = _post(light, (x, foot), half, tall, near, grain, rng)
    return light


def _post(
    light: Light,
    foot: tuple[float, float],
    half: float,
    tall: float,
    near: float,
    grain: Field,
    rng: np.random.Generator,
) -> Light:
    """One post and its reflection, worked on a strip of the picture only."""
    height, width = light.shape[:2]
    left, right = int(max(0, foot[0] - 2.2 * half)), int(min(width, foot[0] + 2.2 * half))
    top, bottom = int(max(0, foot[1] - tall - half)), int(min(height, foot[1] + 0.8 * tall))
    if right - left < 2 or bottom - top < 2:
        return light
    y, x = np.mgrid[top:bottom, left:right].astype(np.float32)
    lean = rng.normal(0, 0.02)
    across = (x - foot[0] - (foot[1] - y) * lean) / half
    jag = half * 0.5 * np.sin(across * 4 + foot[0])
    up = (foot[1] - y) / tall
    mask = smoothstep(1.06, 0.94, np.abs(across)) * (y > foot[1] - tall + jag) * (y <= foot[1])
    patch = np.s_[top:bottom, left:right]
    wood = mix(
        from_hex("#1d2a26"),
        from_hex("#8b7d62"),
        np.clip(0.62 - 0.5 * across, 0, 1) * (0.4 + 0.8 * grain[patch]),
    )
    wood = mix(wood, from_hex("#33452c"), 0.75 * smoothstep(0.42, 0.22, up))
    wood = mix(wood, from_hex("#b9c6bc"), 0.55 * (1 - near) ** 2)
    light[patch] = mix(light[patch], wood, mask)
    wavy = across + 0.35 * np.sin(y * (0.5 - 0.3 * near)) * (1 + (y - foot[1]) / (0.3 * tall + 1))
    mirror = smoothstep(1.1, 0.7, np.abs(wavy)) * (y > foot[1]) * smoothstep(-0.8, -0.1, up)
    light[patch] *= (1 - (0.25 + 0.4 * near) * mirror)[..., None]
    return light
