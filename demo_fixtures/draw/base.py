"""A base photographed straight on under one lamp that can stand at any hour of the clock."""

import numpy as np
from PIL import Image

from .arrays import Floats
from .barnacles import leave_scars, settle_barnacles
from .base_height import base_height
from .colour import Light, from_hex, mix, to_image
from .crust import Crust, lit
from .glass import GLASSES
from .noise import blur, fractal, smoothstep
from .specs import BaseMark
from .worms import lay_worms

Map = Floats


def draw_base(
    mark: BaseMark,
    *,
    size: int = 800,
    light_deg: float = 315.0,
    elevation_deg: float = 34.0,
    wear: float = 0.0,
    seed: int = 0,
    lettering: float = 1.0,
    growth: float = 0.0,
    matte: bool = False,
) -> Image.Image:
    """Picture a base. The lamp stands at `light_deg` (0 twelve o'clock, clockwise), so many degrees up.

    `lettering` scales how high everything stands; `matte` is a base dulled with chalk for reading.
    """
    height, mm_per_px = base_height(mark, size=size, wear=wear, seed=seed)
    return shade_base(
        mark,
        height * lettering,
        mm_per_px,
        light_deg=light_deg,
        elevation_deg=elevation_deg,
        seed=seed,
        growth=growth,
        matte=matte,
    )


def draw_base_lights(
    mark: BaseMark,
    *,
    lamps: int = 8,
    size: int = 800,
    elevation_deg: float = 26.0,
    wear: float = 0.0,
    seed: int = 0,
    matte: bool = False,
) -> list[tuple[float, Image.Image]]:
    """The same base under a lamp from each of so many sides: (lamp's degrees, picture)."""
    height, mm_per_px = base_height(mark, size=size, wear=wear, seed=seed)
    around = [360.0 * lamp / lamps for lamp in range(lamps)]
    return [
        (
            at,
            shade_base(
                mark, height, mm_per_px, light_deg=at, elevation_deg=elevation_deg, seed=seed, matte=matte
            ),
        )
        for at in around
    ]


def shade_base(
    mark: BaseMark,
    height: Map,
    mm_per_px: float,
    *,
    light_deg: float,
    elevation_deg: float,
    seed: int = 0,
    growth: float = 0.0,
    matte: bool = False,
) -> Image.Image:
    """Light a height map as glass (or chalked glass) on a dark cloth."""
    size = height.shape[0]
    rng = np.random.default_rng([seed, 17])
    right, up, towards = _normals(height, mm_per_px)
    lamp = _lamp(light_deg, elevation_deg)
    facing = right * lamp[0] + up * lamp[1] + towards * lamp[2]
    axis = (np.arange(size, dtype=np.float32) + 0.5 - size / 2) * mm_per_px / (mark.diameter_mm / 2)
    power = 7 if mark.square_base else 2
    share = ((np.abs(axis[None, :]) ** power + np.abs(axis[:, None]) ** power) ** (1 / power)).astype(
        np.float32
    )
    inside = np.clip((0.992 - share) * (mark.diameter_mm / 2) / mm_per_px + 0.5, 0, 1)
    if matte:
        light = _chalk(facing, height, mm_per_px, rng)
    else:
        light = _glass(mark, facing, (right, up, towards), lamp, share, height, mm_per_px)
    cloth = _cloth(size, axis, lamp, rng)
    picture = mix(cloth, light, inside)
    if growth > 0:
        _overgrow(picture, (right, up, towards), share, inside, growth, mm_per_px, lamp, rng)
    return to_image(picture)


def _lamp(light_deg: float, elevation_deg: float) -> Map:
    """Direction of the lamp: right, up, towards the eye."""
    turn, rise = np.radians(light_deg), np.radians(elevation_deg)
    return np.array(
        [np.sin(turn) * np.cos(rise), np.cos(turn) * np.cos(rise), np.sin(rise)], dtype=np.float32
    )


def _normals(height: Map, mm_per_px: float) -> tuple[Map, Map, Map]:
    slope_right = np.gradient(height, axis=1) / np.float32(mm_per_px)
    slope_up = -np.gradient(height, axis=0) / np.float32(mm_per_px)
    length = np.sqrt(1 + slope_right**2 + slope_up**2)
    return -slope_right / length, -slope_up / length, 1 / length


def _chalk(facing: Map, height: Map, mm_per_px: float, rng: np.random.Generator) -> Light:
    """Dull and grey: only the shape is left to see."""
    dust = fractal(rng, (height.shape[1], height.shape[0]), cell_px=5, octaves=2)
    amount = np.clip(facing, 0, 1) * 1.05 + 0.10
    return (amount * (0.93 + 0.1 * dust))[..., None] * from_hex("#dcd8ce")


def _glass(
    mark: BaseMark,
    facing: Map,
    normal: tuple[Map, Map, Map],
    lamp: Map,
    share: Map,
    height: Map,
    mm_per_px: float,
) -> Light:
    """Coloured by its thickness, brighter through the middle, sparkling on every flank turned to the lamp."""
    glass = GLASSES[mark.colour]
    thick = np.clip(13.0 + 1.6 * height + 15.0 * smoothstep(0.70, 0.98, share), 3, 46)
    # Light comes down the neck and shows in the middle; the lamp lights the far inside of the wall.
    down_neck = 0.62 * np.exp(-((share / 0.36) ** 2)) + 0.26 * np.exp(-((share / 0.8) ** 4))
    # The ring where wall meets floor shows twice, as a dark and a bright line deep in the glass.
    deep = 0.16 * np.exp(-(((share - 0.80) / 0.022) ** 2)) - 0.26 * np.exp(-(((share - 0.745) / 0.035) ** 2))
    down_neck = down_neck * (1 + deep)
    axis = np.linspace(-1.14, 1.14, height.shape[0], dtype=np.float32)
    across = axis[None, :] * lamp[0] - axis[:, None] * lamp[1]
    carried = 0.42 * smoothstep(0.1, -1.0, across) * smoothstep(0.35, 0.9, share)
    if glass.body is None:
        seen = (down_neck + carried)[..., None] * glass.through(thick.astype(np.float32))
        seen = seen + 0.12 * glass.through(np.full_like(thick, 11.0))
    else:
        seen = np.clip(facing + 0.25, 0, 1)[..., None] * np.asarray(glass.body, dtype=np.float32)
    # Relief bends the light: flanks towards the lamp flare, those away go dark.
    level = lamp[2]
    flank = np.tanh(2.2 * (facing - level * normal[2]))
    steep = np.clip((1 - normal[2]) * 2.4, 0, 0.45)
    seen = seen * ((1 + 0.66 * flank) * (1 - steep))[..., None]
    half = np.array([lamp[0], lamp[1], lamp[2] + 1.0], dtype=np.float32)
    half = half / np.sqrt((half**2).sum())
    mirror = np.clip(normal[0] * half[0] + normal[1] * half[1] + normal[2] * half[2], 0, 1)
    sharp = 1.25 * mirror**150 + 0.24 * mirror**22
    sheen = 0.035 * np.clip(facing, 0, 1)
    ring = 0.05 * smoothstep(0.2, 1.0, normal[1]) * share
    result: Light = seen + (sharp + sheen + ring)[..., None]
    return result


def _cloth(size: int, axis: Map, lamp: Map, rng: np.random.Generator) -> Light:
    """A dark kelp-green cloth, lighter towards the lamp, with the base's shadow."""
    toward = (axis[None, :] * lamp[0] - axis[:, None] * lamp[1]) * 0.5
    weave = fractal(rng, (size, size), cell_px=3, octaves=1)
    amount = np.clip(0.75 + 0.45 * toward, 0.25, 1.4) * (0.94 + 0.12 * weave)
    shifted = np.hypot(axis[None, :] + lamp[0] * 0.10, axis[:, None] - lamp[1] * 0.10)
    shadow = smoothstep(1.10, 0.93, shifted.astype(np.float32))
    result: Light = (amount * (1 - 0.72 * shadow))[..., None] * from_hex("#2c4744")
    return result


def _overgrow(
    picture: Light,
    normal: tuple[Map, Map, Map],
    share: Map,
    inside: Map,
    growth: float,
    mm_per_px: float,
    lamp: Map,
    rng: np.random.Generator,
) -> None:
    """Limy crust, scars, worms and barnacles over the base, in place."""
    size = picture.shape[:2]
    screen = np.stack([normal[0], -normal[2], normal[1]])
    crust = Crust(
        0,
        1 / mm_per_px,
        screen,
        inside,
        np.zeros(size, np.float32),
        np.zeros_like(picture),
        np.zeros(size, np.float32),
    )
    field = fractal(rng, size, cell_px=14 * crust.scale, octaves=4)
    bumps = fractal(rng, size, cell_px=2.4 * crust.scale, octaves=2)
    edge = 0.80 - 0.30 * growth
    plate = smoothstep(edge, edge + 0.03, field) * inside
    crust.lay(0.4 * crust.scale * bumps, mix(from_hex("#8a5666"), from_hex("#c79aa2"), bumps), 0.9 * plate)
    film = np.clip(growth * (0.2 + 0.6 * field), 0, 0.8) * inside
    crust.lay(0 * film, mix(from_hex("#4b5636"), from_hex("#8d8358"), bumps), film * (1 - plate))
    weight = inside * smoothstep(0.25, 0.8, share)
    leave_scars(crust, weight, round(14 * min(1.0, growth * 3)), rng)
    lay_worms(crust, weight, round(9 * growth), rng)
    settle_barnacles(crust, weight, round(44 * growth), rng)
    light = lit(crust, (float(lamp[0]), -0.45 - float(lamp[2]), float(lamp[1])))
    picture[:] = mix(picture, light, np.clip(blur(crust.cover, 0.5), 0, 1))
