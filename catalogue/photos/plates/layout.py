"""Layout of a plate: a surface straightened (perspective warp through the rim's homography) or unrolled."""

from math import cos, radians, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from catalogue.photos.imaging import ImagingError, Rim, relight, unroll

from .recipe import MovableLamp, PlateLook, PlateShape, Recipe
from .surfaces import Surfaces, as_grey

# How far beyond the rim the round plate reaches, as a share of the radius.
BEYOND_RIM = 0.06


def plate(
    surfaces: Surfaces, recipe: Recipe, look: PlateLook, shape: PlateShape, lamp: MovableLamp | None = None
) -> NDArray[np.uint8]:
    """One plate. Raises ImagingError where this look or shape needs more than the recipe has."""
    layer = look_of(surfaces, recipe, look, lamp or MovableLamp())
    high, wide = layer.shape[:2]
    if not recipe.rim:
        if shape == PlateShape.STRIP:
            raise ImagingError("Only a base whose rim was marked can be unrolled.")
        return layer
    if shape == PlateShape.ROUND:
        return straightened(layer, rim_of(surfaces, recipe), recipe.turn_deg)
    middle = recipe.rim_in(wide, high, surfaces.box).middle if recipe.middle else None
    strip = unroll(
        layer,
        recipe.points(wide, high, surfaces.box),
        middle=middle,
        outward=recipe.outward,
        start_deg=recipe.start_deg,
        inner=recipe.inner,
    )
    return strip.picture


def look_of(surfaces: Surfaces, recipe: Recipe, look: PlateLook, lamp: MovableLamp) -> NDArray[np.uint8]:
    """One look in the place of the picture, not laid out yet."""
    if look == PlateLook.RELIT:
        return relit(surfaces, recipe, lamp)
    layer = {
        PlateLook.PLAIN: surfaces.plain,
        PlateLook.CONTRAST: surfaces.contrast,
        PlateLook.VARIATION: surfaces.variation,
        PlateLook.RAISED: surfaces.raised,
    }[look]
    if layer is None and look == PlateLook.VARIATION:
        raise ImagingError("What changes with the lamp needs several pictures lit from different sides.")
    if layer is None:
        raise ImagingError("What stands raised needs several pictures and where the lamp stood for each.")
    return layer


def relit(surfaces: Surfaces, recipe: Recipe, lamp: MovableLamp) -> NDArray[np.uint8]:
    """The surface under a lamp whose hour is told on the plate as it is turned."""
    if surfaces.normals is None:
        raise ImagingError("Lighting anew needs several pictures and where the lamp stood for each.")
    turn = recipe.turn_deg if recipe.rim else 0.0
    clock = (lamp.clock + turn / 30) % 12
    return as_grey(relight(surfaces.normals.astype(np.float32), clock, lamp.high_deg, exaggerate=lamp.steep))


def relief_map(surfaces: Surfaces, recipe: Recipe) -> tuple[NDArray[np.uint8], float]:
    """The round plate's normals as colours, for lighting it anew where it is shown, and their scale.

    Red is how far it leans to the right, green upwards, blue its own brightness. Lean is
    (colour − 128) / 127 × scale, so that slight slopes of worn lettering keep their steps.
    """
    if surfaces.normals is None or surfaces.albedo is None:
        raise ImagingError("Lighting anew needs several pictures and where the lamp stood for each.")
    layers = [*surfaces.normals.astype(np.float32), surfaces.albedo.astype(np.float32)]
    if recipe.rim:
        rim = rim_of(surfaces, recipe)
        layers = [straightened(layer, rim, recipe.turn_deg) for layer in layers]
        layers[:3] = turned_normals(np.stack(layers[:3]), recipe.turn_deg)
    scale = scale_of(surfaces)
    lean = [np.clip(np.round(128 + 127 * layer / scale), 0, 255) for layer in layers[:2]]
    own = 255 * np.clip(layers[3] / max(1e-3, float(np.quantile(layers[3], 0.99))), 0, 1)
    return np.stack([*lean, own], axis=2).astype(np.uint8), scale


def scale_of(surfaces: Surfaces) -> float:
    """The lean that all but the steepest two in a hundred places keep below; 0.05 at least."""
    assert surfaces.normals is not None
    return max(0.05, float(np.quantile(np.abs(surfaces.normals[:2, ::4, ::4].astype(np.float32)), 0.98)))


def rim_of(surfaces: Surfaces, recipe: Recipe) -> Rim:
    """The rim in pixels of the surfaces."""
    high, wide = surfaces.plain.shape[:2]
    return recipe.rim_in(wide, high, surfaces.box)


def straightened(layer: NDArray[Any], rim: Rim, turn_deg: float = 0.0) -> NDArray[Any]:
    """`layer` (a picture or a map) as a square whose middle is the base's, what lies at `turn_deg` on top.

    `rim.plane` carries the flat base into the picture; each place of the square is looked up through it.
    """
    side = max(8, round(2 * rim.radius_px * (1 + BEYOND_RIM)))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])
    step = 2 * (1 + BEYOND_RIM) / side
    square = np.array([[step, 0, -1 - BEYOND_RIM], [0, step, -1 - BEYOND_RIM], [0, 0, 1.0]])
    # Pillow counts from the corner of the first pixel, the rim from its middle.
    corner = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    way = corner @ rim.plane @ turn @ square
    numbers = (way / way[2, 2]).ravel()[:8].tolist()
    drawn = Image.fromarray(np.ascontiguousarray(layer)).transform(
        (side, side), Image.Transform.PERSPECTIVE, numbers, Image.Resampling.BICUBIC
    )
    return np.asarray(drawn)


def turned_normals(normals: NDArray[np.float32], turn_deg: float) -> NDArray[np.float32]:
    """Normals (3: right, up, towards) in a picture turned so that what lay at `turn_deg` is on top."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    right, up, towards = normals
    return np.stack([right * c - up * s, up * c + right * s, towards]).astype(np.float32)
