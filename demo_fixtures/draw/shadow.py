"""The shadow of a glass: dark at the foot, coloured where light came through, with a bright streak."""

import numpy as np
from PIL import Image

from .colour import Light
from .glass import GLASSES, Glass
from .noise import blur
from .vessel import Rendered


def lay_shadow(
    ground: Light, vessel: Rendered, colour: str, *, run: tuple[float, float], strength: float = 0.62
) -> None:
    """Darken and tint `ground` in place where `vessel` stands between it and the lamp.

    `run` says how far the shadow goes right and down (up if negative) per mm of the vessel's height.
    """
    height, width = ground.shape[:2]
    small = 3
    shape = _silhouette(vessel, (width, height), small)
    foot_x, foot_y = vessel.pose.foot[0] / small, vessel.pose.foot[1] / small
    rows, columns = np.mgrid[0 : shape.shape[0], 0 : shape.shape[1]].astype(np.float32)
    up = (rows - foot_y) / run[1] if run[1] else np.zeros_like(rows)
    source_x = columns - run[0] * up
    source_y = foot_y - up
    valid = (source_y >= 0) & (source_y < shape.shape[0]) & (source_x >= 0) & (source_x < shape.shape[1])
    index_y = np.clip(source_y, 0, shape.shape[0] - 1).astype(np.int32)
    index_x = np.clip(source_x, 0, shape.shape[1] - 1).astype(np.int32)
    thrown = np.where(valid, shape[index_y, index_x], 0.0).astype(np.float32)
    scale = vessel.pose.px_per_mm / small
    sharp, broad = blur(thrown, 1.2 * scale), blur(thrown, 6 * scale)
    along = np.clip(up / (vessel.solid.height_mm * scale), 0, 1)
    amount = (sharp * (1 - along) + broad * along) * (1 - 0.55 * along)
    core = np.clip(blur(thrown, 2.2 * scale) * 1.6 - 0.75, 0, 1) * (1 - along)
    contact = _contact(rows, columns, foot_x, foot_y, vessel, scale)
    amount, core, contact = (_grow(field, (width, height)) for field in (amount, core, contact))
    glass = GLASSES[colour]
    tint = _tint(glass)
    ground *= 1 - strength * amount[..., None] * (1 - 0.66 * tint)
    ground += 0.34 * core[..., None] * tint**1.6 * strength
    ground *= 1 - 0.58 * contact[..., None] * (1 - 0.25 * tint)


def lay_flat_shadow(ground: Light, vessel: Rendered, colour: str, *, strength: float = 0.62) -> None:
    """The same for a vessel lying on its side: a soft band along the line on which it rests, in place."""
    window, scale = vessel.window, vessel.pose.px_per_mm
    rests = window.top + int(np.nonzero(vessel.cover.max(axis=1) > 0.5)[0][-1])
    rows = np.arange(ground.shape[0], dtype=np.float32)
    band = np.zeros(ground.shape[:2], dtype=np.float32)
    # The nearer the glass comes to the table, the darker and sharper its shadow.
    depth = vessel.cover.sum(axis=0) / vessel.cover.sum(axis=0).max()
    fall = np.exp(-(((rows[:, None] - rests - 2 * scale) / (3.5 * scale)) ** 2))
    band[:, window.left : window.left + window.width] = fall * (depth**1.5)[None, :]
    band = blur(band, 2.5 * scale)
    glass = GLASSES[colour]
    tint = _tint(glass)
    ground *= 1 - strength * band[..., None] * (1 - 0.45 * tint)


def _silhouette(vessel: Rendered, size: tuple[int, int], small: int) -> Light:
    """Where the vessel stands, at a third of the picture's size."""
    full = np.zeros((size[1], size[0]), dtype=np.float32)
    full[vessel.window.part] = vessel.cover
    image = Image.fromarray(full)
    return np.asarray(image.resize((size[0] // small, size[1] // small), Image.Resampling.BOX))


def _tint(glass: Glass) -> Light:
    """The colour of light that came through 9 mm of the glass; black for milk glass."""
    if glass.body is not None:
        return np.zeros(3, dtype=np.float32)
    result: Light = glass.through(np.asarray([9.0], dtype=np.float32))[0]
    return result


def _grow(field: Light, size: tuple[int, int]) -> Light:
    image = Image.fromarray(field.astype(np.float32))
    result: Light = np.clip(np.asarray(image.resize(size, Image.Resampling.BICUBIC)), 0, 1.5)
    return result


def _contact(rows: Light, columns: Light, x: float, y: float, vessel: Rendered, scale: float) -> Light:
    """The dark close under the foot."""
    wide = vessel.solid.radius_mm * scale * 1.12
    flat = max(0.10, float(np.sin(np.radians(vessel.pose.tilt_deg))))
    away = np.hypot((columns - x - wide * 0.08) / wide, (rows - y - 1.0) / (wide * flat * 1.25))
    result: Light = np.exp(-((np.maximum(away - 0.72, 0) / 0.30) ** 2))
    return result
