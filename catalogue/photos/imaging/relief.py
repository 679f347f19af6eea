"""From several pictures of a still piece, each lit from another side, to plates of what is raised on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import Map, Picture, checked, light
from .errors import ImagingError
from .integrating import integrate
from .lamps import lamp_directions
from .moving import Move, moved
from .registering import register
from .stereo import normals_and_albedo, slope_deg, slopes
from .varying import variation

FEWEST, MOST = 3, 24


@dataclass(frozen=True, slots=True, eq=False)
class Relief:
    """Maps (height, width) in the place of the first picture, shrunk by `shrunk` (1: not at all).

    `mean` light of all pictures, `variation` how much each pixel changes with the lamp as a share of its
    brightness; `moves` how each picture lay against the first, in pixels of these maps. With lamps: `normals`
    (3, height, width: right, up, towards the camera), `albedo`, `slope_deg` degrees, `height_px` raised
    towards the camera in pixels, mean 0: lettering is true, wide bends are not, since a small error of all
    slopes adds up over the width.
    """

    mean: Map
    variation: Map
    moves: tuple[Move, ...]
    shrunk: float
    normals: Map | None = None
    albedo: Map | None = None
    slope_deg: Map | None = None
    height_px: Map | None = None


def raking_relief(
    images: Sequence[Picture],
    lamp_clock: Sequence[float] | None = None,
    elevation_deg: float | Sequence[float] = 25.0,
    *,
    align: bool = True,
    level_light: bool = True,
    soften_px: float = 1.0,
    longest_px: int = 1200,
) -> Relief:
    """Three or more pictures (four to eight are usual) of one piece, equally large, camera unmoved.

    Without `lamp_clock` only `mean` and `variation` are made. With it (one hour per picture, see
    `lamp_directions`) the surface too; this is right for dull surfaces only. `align` lays the pictures on
    each other first. `level_light` evens out how bright each picture is over all, as a phone exposes each
    by itself; it takes the piece to face the camera on the whole. `soften_px` softens `variation`.
    """
    if not FEWEST <= len(images) <= MOST:
        raise ImagingError(f"Relief needs {FEWEST} to {MOST} pictures lit from different sides.")
    for number, image in enumerate(images, start=1):
        if checked(image, least=32).shape[:2] != images[0].shape[:2]:
            raise ImagingError(
                f"Picture {number} has another size than the first; crop and turn none of them."
            )
    lamps = None
    if lamp_clock is not None:
        if len(lamp_clock) != len(images):
            raise ImagingError(f"There are {len(images)} pictures but {len(lamp_clock)} places of the lamp.")
        lamps = lamp_directions(lamp_clock, elevation_deg)
    shrunk = max(1.0, max(images[0].shape[:2]) / longest_px)
    stack = np.stack([light(_smaller(image, shrunk)) for image in images])
    moves = [Move(0.0, 0.0)] * len(images)
    if align:
        moves = register(list(stack))
        for number, move in enumerate(moves[1:], start=1):
            stack[number] = np.maximum(moved(stack[number], move, fine=True), 0)
    if level_light:
        _level(stack, lamps)
    mean = np.asarray(stack.mean(axis=0), dtype=np.float32)
    changes = variation(stack, soften_px=soften_px)
    if lamps is None:
        return Relief(mean, changes, tuple(moves), shrunk)
    normals, albedo = normals_and_albedo(stack, lamps)
    height = integrate(*slopes(normals))
    return Relief(mean, changes, tuple(moves), shrunk, normals, albedo, slope_deg(normals), height)


def _smaller(image: Picture, shrunk: float) -> Picture:
    """The picture made smaller by that factor, averaged as light falls together on a larger pixel."""
    if shrunk <= 1:
        return image
    size = (round(image.shape[1] / shrunk), round(image.shape[0] / shrunk))
    if image.dtype == np.uint8:
        flat = image[..., 0] if image.ndim == 3 and image.shape[2] == 1 else image
        return np.asarray(Image.fromarray(np.ascontiguousarray(flat)).resize(size, Image.Resampling.BOX))
    layers = image[..., None] if image.ndim == 2 else image
    full = 65535.0 if image.dtype == np.uint16 else 1.0
    made: list[Any] = [
        np.asarray(
            Image.fromarray(layer.astype(np.float32) / np.float32(full)).resize(size, Image.Resampling.BOX)
        )
        for layer in np.moveaxis(layers, 2, 0)
    ]
    whole: Picture = made[0] if image.ndim == 2 else np.stack(made, axis=2)
    return np.asarray(np.clip(whole, 0, 1))


def _level(stack: Map, lamps: NDArray[np.float64] | None) -> None:
    """Make each picture as bright over all as a level surface would be under its lamp, in place."""
    middles = np.array([float(np.median(picture[::2, ::2])) for picture in stack])
    if middles.min() <= 1e-4:
        raise ImagingError("A picture is almost black.")
    wanted = np.full(len(stack), 1.0) if lamps is None else lamps[:, 2] / lamps[:, 2].mean()
    stack *= (wanted / middles * middles.mean()).astype(np.float32)[:, None, None]
