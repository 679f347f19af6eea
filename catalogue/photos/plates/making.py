"""Plates worked out of their pictures: first what the surface is like, then laid out round or unrolled."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue.photos.imaging import (
    ImagingError,
    Rim,
    as_plate,
    local_contrast,
    raised,
    raking_relief,
    relight,
    unroll,
)

from .looks import Look, Shape
from .opening import part_of
from .recipe import Box, Lamp, Recipe
from .straightening import straightened, turned_normals

MOST_STRIP_PX = 3_000


@dataclass(frozen=True, slots=True, eq=False)
class Surfaces:
    """What several plates are laid out from, all in the place of the first picture's part `box`.

    Grey ones are uint8 (height, width). `normals` as `raking_relief` gives them, at half precision.
    """

    box: Box
    plain: NDArray[np.uint8]
    contrast: NDArray[np.uint8]
    variation: NDArray[np.uint8] | None = None
    raised: NDArray[np.uint8] | None = None
    normals: NDArray[np.float16] | None = None
    albedo: NDArray[np.float16] | None = None

    @property
    def looks(self) -> list[Look]:
        """What can be shown of it."""
        there = [Look.PLAIN, Look.CONTRAST]
        if self.variation is not None:
            there.append(Look.VARIATION)
        return there if self.raised is None else [*there, Look.RAISED, Look.RELIT]


def work_out(recipe: Recipe) -> Surfaces:
    """Open the pictures and work the surface out: seconds for eight pictures. Raises ImagingError."""
    box = recipe.box()
    pictures = [part_of(shot, box) for shot in recipe.shots]
    if len(pictures) == 1:
        return Surfaces(box, pictures[0], as_plate(local_contrast(pictures[0])))
    relief = raking_relief(pictures, recipe.clocks, recipe.rise_deg)
    # Of the pictures themselves the first is shown: their mean has lost what one low lamp brings out.
    found = {
        "plain": pictures[0],
        "contrast": as_plate(local_contrast(pictures[0])),
        # The rim changes far more than any letter: each part is shown by what is strong around it.
        "variation": as_grey(raised(relief.variation)),
    }
    if relief.normals is None or relief.albedo is None or relief.height_px is None:
        return Surfaces(box, **found)
    return Surfaces(
        box,
        **found,
        raised=as_grey(raised(relief.height_px)),
        normals=relief.normals.astype(np.float16),
        albedo=relief.albedo.astype(np.float16),
    )


def plate(
    surfaces: Surfaces, recipe: Recipe, look: Look, shape: Shape, lamp: Lamp | None = None
) -> NDArray[np.uint8]:
    """One plate. Raises ImagingError where this look or shape needs more than the recipe has."""
    layer = look_of(surfaces, recipe, look, lamp or Lamp())
    high, wide = layer.shape[:2]
    if not recipe.rim:
        if shape == Shape.STRIP:
            raise ImagingError("Only a base whose rim was marked can be unrolled.")
        return layer
    if shape == Shape.ROUND:
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


def look_of(surfaces: Surfaces, recipe: Recipe, look: Look, lamp: Lamp) -> NDArray[np.uint8]:
    """One look in the place of the picture, not laid out yet."""
    if look == Look.RELIT:
        return relit(surfaces, recipe, lamp)
    layer = {
        Look.PLAIN: surfaces.plain,
        Look.CONTRAST: surfaces.contrast,
        Look.VARIATION: surfaces.variation,
        Look.RAISED: surfaces.raised,
    }[look]
    if layer is None and look == Look.VARIATION:
        raise ImagingError("What changes with the lamp needs several pictures lit from different sides.")
    if layer is None:
        raise ImagingError("What stands raised needs several pictures and where the lamp stood for each.")
    return layer


def relit(surfaces: Surfaces, recipe: Recipe, lamp: Lamp) -> NDArray[np.uint8]:
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
    high, wide = surfaces.plain.shape[:2]
    return recipe.rim_in(wide, high, surfaces.box)


def as_grey(values: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Fractions 0 to 1 as 0 to 255."""
    return np.round(np.clip(values, 0, 1) * 255).astype(np.uint8)
