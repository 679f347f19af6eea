"""Raking-light relief: pictures of a still piece, each lit from another side, show what is raised on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import ImagingError, Map, Picture, checked_picture, linear_light
from .gaussian_blur import band_pass, flat_field, gaussian_blur, local_rms
from .photometric_stereo import integrate, lamp_directions, normals_and_albedo, slope_deg, slopes
from .registration import Similarity, register, warped

FEWEST_PICTURES, MOST_PICTURES = 3, 24
PATTERNS = 2


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
    moves: tuple[Similarity, ...]
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
    if not FEWEST_PICTURES <= len(images) <= MOST_PICTURES:
        raise ImagingError(
            f"Relief needs {FEWEST_PICTURES} to {MOST_PICTURES} pictures lit from different sides."
        )
    for number, image in enumerate(images, start=1):
        if checked_picture(image, least=32).shape[:2] != images[0].shape[:2]:
            raise ImagingError(
                f"Picture {number} has another size than the first; crop and turn none of them."
            )
    lamps = None
    if lamp_clock is not None:
        if len(lamp_clock) != len(images):
            raise ImagingError(f"There are {len(images)} pictures but {len(lamp_clock)} places of the lamp.")
        lamps = lamp_directions(lamp_clock, elevation_deg)
    shrunk = max(1.0, max(images[0].shape[:2]) / longest_px)
    stack = np.stack([linear_light(_downsampled_light(image, shrunk)) for image in images])
    moves = [Similarity(0.0, 0.0)] * len(images)
    if align:
        moves = register(list(stack))
        for number, move in enumerate(moves[1:], start=1):
            stack[number] = np.maximum(warped(stack[number], move, fine=True), 0)
    if level_light:
        _level_exposure(stack, lamps)
    mean = np.asarray(stack.mean(axis=0), dtype=np.float32)
    changes = variation(stack, soften_px=soften_px)
    if lamps is None:
        return Relief(mean, changes, tuple(moves), shrunk)
    normals, albedo = normals_and_albedo(stack, lamps)
    height = integrate(*slopes(normals))
    return Relief(mean, changes, tuple(moves), shrunk, normals, albedo, slope_deg(normals), height)


def _downsampled_light(image: Picture, shrunk: float) -> Picture:
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


def _level_exposure(stack: Map, lamps: NDArray[np.float64] | None) -> None:
    """Make each picture as bright over all as a level surface would be under its lamp, in place."""
    middles = np.array([float(np.median(picture[::2, ::2])) for picture in stack])
    if middles.min() <= 1e-4:
        raise ImagingError("A picture is almost black.")
    wanted = np.full(len(stack), 1.0) if lamps is None else lamps[:, 2] / lamps[:, 2].mean()
    stack *= (wanted / middles * middles.mean()).astype(np.float32)[:, None, None]


def variation(stack: Map, *, shading: float = 0.05, soften_px: float = 1.0) -> Map:
    """How much each pixel varies between aligned maps of light (n, height, width), 1 being its brightness.

    No direction of any lamp is needed. Each picture's slow shading is divided out. On a dull surface the rest
    depends on the slope in two directions only, so that the two strongest patterns (principal components)
    hold the lettering and the others grain: those are left out, and their level taken off. With four pictures
    or fewer all of it is kept.
    """
    count = len(stack)
    sigma = max(2.0, shading * min(stack.shape[1:]))
    flat = np.empty_like(stack)
    for number, picture in enumerate(stack):
        flat[number] = gaussian_blur(flat_field(picture, sigma), soften_px)
    flat -= flat.mean(axis=0)
    rows = flat.reshape(count, -1)
    if count <= PATTERNS + 2:
        squares = (rows * rows).sum(axis=0) / count
        return np.asarray(np.sqrt(squares).reshape(stack.shape[1:]), dtype=np.float32)
    spread = (rows @ rows.T).astype(np.float64) / rows.shape[1]
    levels, patterns = np.linalg.eigh(spread)
    strong = patterns[:, -PATTERNS:].T.astype(np.float32) @ rows
    squares = (strong * strong).sum(axis=0) / count
    # The smallest level is 0 (the mean was taken away); the middle ones are grain and shine.
    grain = PATTERNS * float(np.median(levels[1:-PATTERNS])) / count
    return np.asarray(np.sqrt(np.maximum(squares - grain, 0)).reshape(stack.shape[1:]), dtype=np.float32)


def raised(height: Map, *, shading: float = 0.03, soften_px: float = 0.7) -> Map:
    """What stands proud of its neighbourhood, from 0 (sunk) over 0.5 (level) to 1, even where it is worn low.

    `height` is `Relief.height_px`, or `Relief.variation` where no lamp was known. Bends wider than `shading`
    (share of the shorter side) are taken away and the rest is divided by its own strength nearby.
    """
    if height.ndim != 2 or min(height.shape) < 8 or not np.isfinite(height).all():
        raise ImagingError("A surface is a map of numbers, at least 8 by 8.")
    if not 0 < shading <= 1 or not 0 <= soften_px <= 50:
        raise ImagingError("Shading is a share above 0 up to 1.")
    sigma = max(2.0, shading * min(height.shape))
    detail = band_pass(height, sigma, soften_px)
    largest = float(np.abs(detail).max())
    if largest <= 1e-9:
        return np.full(height.shape, 0.5, dtype=np.float32)
    detail = detail / np.float32(largest)
    return np.asarray(np.clip(0.5 + detail / local_rms(detail, 2 * sigma) / 6, 0, 1), dtype=np.float32)
