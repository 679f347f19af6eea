"""Under water: haze, a bed running off into it with what lies and grows there, dancing light."""

import numpy as np
from PIL import Image, ImageDraw

from .beds import BEDS, BedLook
from .colour import Light, from_hex, mix
from .grounds import Scene, softened
from .noise import Field, blur, fractal, smoothstep
from .seabed_standing import eelgrass, ledge, piles
from .specs import Bed

HORIZON = 0.36
SHARPNESS = 0.7


def seabed(size: tuple[int, int], *, rng: np.random.Generator, bed: Bed = "silt") -> Scene:
    """A bed under some metres of water, without a bottle.

    Drawn smaller and enlarged: water blurs, and it takes half the time.
    """
    small = round(size[0] * SHARPNESS), round(size[1] * SHARPNESS)
    scene = _bed_and_water(small, bed, rng)
    channels = [Image.fromarray(np.ascontiguousarray(scene[..., channel])) for channel in range(3)]
    grown = [np.asarray(channel.resize(size, Image.Resampling.BICUBIC)) for channel in channels]
    light = np.maximum(np.stack(grown, axis=-1), 0)
    return Scene(light, softened(light, 6))


def _bed_and_water(size: tuple[int, int], kind: Bed, rng: np.random.Generator) -> Light:
    """The scene at its own size."""
    width, height = size
    look = BEDS[kind]
    x = np.broadcast_to((np.arange(width, dtype=np.float32) + 0.5) / width, (height, width))
    y = np.broadcast_to(((np.arange(height, dtype=np.float32) + 0.5) / height)[:, None], (height, width))
    water = _water(size, look, x, y, rng)
    bed, near = _silt_bed(size, look, x, y, rng)
    haze = np.exp(-near * 5.5)
    bed = mix(bed, from_hex(look.haze), 0.92 * haze)
    edge = HORIZON + 0.02 * (fractal(rng, (width, 2), cell_px=180, octaves=4)[0] - 0.5)
    light = mix(water, bed, smoothstep(-0.012, 0.02, y - edge[None, :]))
    light = _weed(light, size, look.weed, rng)
    match kind:
        case "rocks":
            light = ledge(light, size, look, rng)
        case "piles":
            light = piles(light, size, look, HORIZON, rng)
        case "eelgrass":
            light = eelgrass(light, size, look, HORIZON, rng)
    light = light * _fall_off(x, y)[..., None]
    return light.astype(np.float32)


def _fall_off(x: Field, y: Field) -> Field:
    """Brighter in the middle, as a torch and the eye have it."""
    away = np.hypot((x - 0.46) / 0.72, (y - 0.58) / 0.72)
    return (1.12 - 0.5 * smoothstep(0.25, 1.05, away)).astype(np.float32)


def _water(size: tuple[int, int], look: BedLook, x: Field, y: Field, rng: np.random.Generator) -> Light:
    """Open water with shafts of light from the upper left."""
    light = mix(from_hex(look.near_water), from_hex(look.deep_water), smoothstep(-0.15, 0.42, y))
    fan = (x - 0.25) / (y + 0.55)
    shafts = fractal(rng, (512, 2), cell_px=46, octaves=3)[0]
    shaft = shafts[np.clip((fan + 0.6) * 300, 0, 511).astype(np.int32)]
    sun = smoothstep(0.42, 0.8, blur(shaft, 3)) * np.exp(-y * 3.2)
    light = light * (0.86 + look.shafts * sun)[..., None]
    far = fractal(rng, (size[0], 2), cell_px=230, octaves=5, gain=0.55)[0]
    rise = HORIZON - 0.02 - 0.17 * np.clip(far - 0.38, 0, 1)
    return mix(light, from_hex(look.far_rise), 0.62 * smoothstep(-0.01, 0.02, y - rise[None, :]))


def _silt_bed(
    size: tuple[int, int], look: BedLook, x: Field, y: Field, rng: np.random.Generator
) -> tuple[Light, Field]:
    """The bed in perspective, and how near each of its pixels is (0 horizon, 1 at the feet)."""
    near = np.clip((y - HORIZON + 0.01) / (1.02 - HORIZON), 0.012, 1)
    across, away = (x - 0.5) / near * 260, 330 / near
    side = 1024
    texture = fractal(rng, (side, side), cell_px=120, octaves=7, gain=0.68)
    grain = _tiled(texture, across * 3.4, away * 4.2)
    grain = 0.5 + (grain - 0.5) * np.clip(near * 2.2, 0.25, 1)
    broad = _tiled(blur(texture, 9), across * 0.8, away * 0.9)
    ripple = np.sin(away * 0.085 + 6.5 * (broad - 0.5) + across * 0.006) * np.clip(near * 1.6, 0, 1)
    colour = mix(
        from_hex(look.dark),
        from_hex(look.light),
        np.clip(0.5 + 1.1 * (grain - 0.5) + 0.5 * (broad - 0.5), 0, 1),
    )
    colour = colour * (1 + look.ripples * ripple)[..., None]
    warp = _tiled(blur(texture, 6), across + 333, away * 0.9 + 300)
    web = 1 - np.abs(np.sin(3.1 * (across * 0.012 + 3.2 * broad)) * np.cos(2.3 * (away * 0.009 + 2.6 * warp)))
    dancing = smoothstep(0.72, 1.0, web) ** 2 * np.clip(near * 1.3, 0, 1)
    colour = colour * (0.86 + 1.3 * look.shafts * dancing)[..., None]
    return _pebbles(colour, size, look.pebbles, rng), near


def _tiled(texture: Field, across: Field, away: Field) -> Field:
    """The texture repeated over the plane, every other tile mirrored so that no seam shows."""
    side = texture.shape[0]

    def folded(at: Field) -> np.ndarray:
        step = np.floor(at).astype(np.int32) % (2 * side)
        result: np.ndarray = np.where(step < side, step, 2 * side - 1 - step)
        return result

    result: Field = texture[folded(away), folded(across)]
    return result


def _pebbles(bed: Light, size: tuple[int, int], count: int, rng: np.random.Generator) -> Light:
    """Shell bits and pebbles with a shadow to the right, smaller towards the horizon."""
    width, height = size
    tone, shade = Image.new("L", size, 0), Image.new("L", size, 0)
    pens = ImageDraw.Draw(tone), ImageDraw.Draw(shade)
    for _ in range(count):
        near = rng.random() ** 0.7
        cx, cy = rng.uniform(0, width), height * (HORIZON + 0.03 + (0.97 - HORIZON) * near)
        r = (1.0 + 7.0 * near * rng.random() ** 2) * width / 780
        flat = r * rng.uniform(0.45, 0.75)
        pens[1].ellipse((cx - r * 0.8, cy - flat * 0.5, cx + r * 1.9, cy + flat * 1.3), fill=130)
        pens[0].ellipse((cx - r, cy - flat, cx + r, cy + flat), fill=int(rng.integers(60, 255)))
    dark = blur(np.asarray(shade, dtype=np.float32) / 255, 1.6)
    stone = np.asarray(tone, dtype=np.float32) / 255
    solid = blur((stone > 0).astype(np.float32), 0.8)
    bed = bed * (1 - 0.7 * dark)[..., None]
    return mix(bed, mix(from_hex("#3c463f"), from_hex("#c6c2a8"), stone), 0.85 * solid)


def _weed(light: Light, size: tuple[int, int], count: int, rng: np.random.Generator) -> Light:
    """Blades of weed, out of focus, at the sides of the middle distance."""
    width, height = size
    mask = Image.new("L", size, 0)
    pen = ImageDraw.Draw(mask)
    for _ in range(count):
        side = rng.choice([-1, 1])
        x = width * (0.5 + side * rng.uniform(0.24, 0.56))
        y = height * (HORIZON + rng.uniform(0.015, 0.12))
        tall, sway = height * rng.uniform(0.06, 0.24), rng.uniform(-0.3, 0.5)
        points = [
            (x + sway * tall * t * t + 4 * np.sin(5 * t + x), y - tall * t) for t in np.linspace(0, 1, 9)
        ]
        pen.line(points, fill=int(rng.integers(90, 200)), width=int(rng.integers(2, 6)), joint="curve")
    return mix(light, from_hex("#274c34"), 0.85 * blur(np.asarray(mask, dtype=np.float32) / 255, 2.4))


def drift(light: Light, rng: np.random.Generator, *, specks: int = 130, bed: Bed = "silt") -> Light:
    """The last veil: floating specks and the water between the eye and everything."""
    height, width = light.shape[:2]
    mask = Image.new("L", (width, height), 0)
    pen = ImageDraw.Draw(mask)
    for _ in range(specks):
        x, y, r = rng.uniform(0, width), rng.uniform(0, height), rng.gamma(2.0, 0.55) * width / 780
        pen.ellipse((x - r, y - r, x + r, y + r), fill=int(rng.integers(30, 150)))
    veil = blur(np.asarray(mask, dtype=np.float32) / 255, 1.3)
    haze = from_hex(BEDS[bed].haze)
    # Water swallows what is not of its own colour.
    tint = haze / haze.mean()
    tinted = light * (1 + 0.1 * (tint - 1)).astype(np.float32)
    tinted = mix(tinted, haze, 0.1)
    return mix(tinted, from_hex("#cfe5dc"), 0.45 * veil)
