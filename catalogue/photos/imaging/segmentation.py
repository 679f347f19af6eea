"""Segmentation of a picture of a shelf: bounding boxes proposed around its bottles, touching ones split."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Map, Picture, as_fractions, downsampled, resized
from .background import fit_background, otsu_threshold
from .connected_components import Mask, Region, closed, connected_components, dilated
from .gaussian_blur import gaussian_blur

SHELF_WORKING_PX = 720
SHELF_GROUND_PX = 240
SHELF_LEAST_SPREADS = 4.0
ScoredBox = tuple[int, int, int, int, float]


@dataclass(frozen=True, slots=True)
class BottleBox:
    """A box in pixels of the picture (right and bottom just outside); `confidence` from 0 to 1."""

    left: int
    top: int
    right: int
    bottom: int
    confidence: float


def find_bottles(image: Picture) -> list[BottleBox]:
    """Boxes of the bottles standing on one shelf, from left to right; empty where none is made out.

    The wall above the edge of the shelf is fitted as a smooth surface; bottles are the patches that
    differ from it and reach down to the shelf. Where two touch, the outline of their tops has a valley
    between two peaks and the box is cut there. Bottles that overlap or stand in two rows need a person's
    eye.
    """
    colours = as_fractions(image)
    if colours.ndim == 2:
        colours = colours[..., None]
    shrunk = max(1.0, max(colours.shape[:2]) / SHELF_WORKING_PX)
    colours = downsampled(colours, shrunk)
    if min(colours.shape[:2]) < 60:
        raise ImagingError("The picture is too small or too narrow to look for bottles in it.")
    edge = shelf_edge(colours)
    labels, found = connected_components(_foreground(colours[:edge]))
    boxes = []
    for patch in found:
        if _could_be_bottles(patch, colours.shape[:2], edge):
            boxes += split_touching(
                labels[patch.top : patch.bottom, patch.left : patch.right] == patch.label, patch
            )
    tallest = max((box[3] - box[1] for box in boxes), default=0)
    steps = _level_steps(colours)
    return [
        BottleBox(
            round(left * shrunk),
            round(top * shrunk),
            round(right * shrunk),
            round(_foot(steps, left, right, bottom, edge) * shrunk),
            round(confidence, 2),
        )
        for left, top, right, bottom, confidence in sorted(boxes)
        if bottom - top > 0.2 * tallest and right - left > 0.05 * tallest
    ]


def shelf_edge(colours: Map) -> int:
    """The row where the wall ends and the board begins; the last row where there is no board to be seen.

    A step in colour that runs the whole width: measured in many upright strips, of which the bottles hold
    only some. The topmost clear one in the lower half counts, since the board's front makes another below it.
    """
    height, width = int(colours.shape[0]), int(colours.shape[1])
    strips = np.array_split(np.arange(width), max(8, width // 12))
    levels = np.stack([np.median(colours[:, strip], axis=1) for strip in strips], axis=1)
    reach = max(2, height // 45)
    step = np.abs(levels[2 * reach :] - levels[: -2 * reach]).max(axis=2)
    seen = np.quantile(step, 0.4, axis=1)
    seen[: height // 2 - reach] = 0
    if seen.max() < 0.03:
        return height - 1
    for place in np.flatnonzero(seen >= 0.6 * seen.max()).tolist():
        if seen[place] >= seen[max(0, place - reach) : place + reach + 1].max():
            return int(place) + reach
    return height - 1


def _foreground(wall: Map) -> Mask:
    """What is not the wall above the shelf, its holes closed."""
    height, width, _ = wall.shape
    small = downsampled(wall, max(1.0, max(height, width) / SHELF_GROUND_PX))
    known = _even_half(small)
    known[: max(3, len(small) // 12)] = True
    ground, spread = fit_background(small, known, degree=2)
    full = np.stack([resized(layer, width, height) for layer in np.moveaxis(ground, 2, 0)], axis=2)
    differs = np.sqrt((((wall - full) / np.maximum(spread, 0.012)) ** 2).mean(axis=2))
    soft = gaussian_blur(differs, 1.0)
    limit = max(SHELF_LEAST_SPREADS, float(np.expm1(otsu_threshold(np.log1p(soft)))))
    close = max(2, width // 150)
    mask = closed(soft > limit, close)
    return np.asarray(dilated(dilated(mask, -1), 1))


def _level_steps(colours: Map) -> Map:
    """How each pixel differs from the one below, less what its whole row does."""
    soft = np.stack([gaussian_blur(layer, 1.0) for layer in np.moveaxis(colours, 2, 0)])
    step = np.abs(np.diff(soft, axis=1)).sum(axis=0)
    return np.asarray(step - np.median(step, axis=1, keepdims=True), dtype=np.float32)


def _foot(steps: Map, left: int, right: int, bottom: int, edge: int) -> int:
    """The row of the foot: on the board, where the bottle's middle ends in the clearest level step."""
    wide = right - left
    reach = min(len(steps), edge + max(4, round(0.5 * wide)))
    if bottom < edge - 2 or reach - edge < 3:
        return bottom
    part = steps[edge + 1 : reach, left + wide // 5 : right - wide // 5].mean(axis=1)
    return edge + 2 + int(part.argmax())


def _even_half(colours: Map) -> NDArray[np.bool_]:
    """The even half of the pixels: bottles have edges and shine, walls hardly."""
    steep = np.zeros(colours.shape[:2], dtype=np.float32)
    for layer in np.moveaxis(colours, 2, 0):
        down, right = np.gradient(layer)
        steep += np.hypot(down, right)
    steep = gaussian_blur(steep, 1.5)
    return np.asarray(steep <= np.quantile(steep, 0.5))


def _could_be_bottles(patch: Region, shape: tuple[int, ...], edge: int) -> bool:
    """Tall enough, full enough, standing on the shelf and not the frame of the picture."""
    tall, wide = patch.bottom - patch.top, patch.right - patch.left
    stands = patch.bottom >= edge - 0.06 * shape[0]
    full = patch.pixels > 0.25 * tall * wide
    return stands and full and tall > 0.12 * shape[0] and wide > 0.012 * shape[1] and patch.top < edge


def split_touching(mask: Mask, patch: Region) -> list[ScoredBox]:
    """The bottles of a patch as boxes (left, top, right, bottom, confidence) in the picture.

    `mask` is the patch within its box. The height of its top edge over the columns has one peak for each
    bottle, its neck; it is cut at the lowest place between two peaks where that lies clearly lower than both.
    """
    height, width = mask.shape
    top = np.where(mask.any(axis=0), height - mask.argmax(axis=0), 0).astype(float)
    cuts = _valleys(top, depth=0.12 * height, apart=max(4, round(0.12 * height)))
    boxes = []
    for left, right in zip([0, *cuts], [*cuts, width], strict=True):
        part = mask[:, left:right]
        columns = np.flatnonzero(part.sum(axis=0) >= 0.2 * part.sum(axis=0).max())
        if len(columns) < 3:
            continue
        part = part[:, columns[0] : columns[-1] + 1]
        rows = np.flatnonzero(part.any(axis=1))
        start = patch.left + left + int(columns[0])
        box = (start, patch.top + int(rows[0]), start + part.shape[1], patch.top + int(rows[-1]) + 1)
        boxes.append((*box, _confidence(part[rows[0] : rows[-1] + 1], cut=len(cuts) > 0)))
    return boxes


def _valleys(top: NDArray[np.float64], depth: float, apart: int) -> list[int]:
    """Columns of the valleys at least `depth` lower than a peak on both sides, peaks `apart` columns off."""
    cuts: list[int] = []
    peak = valley = 0
    for column in range(1, len(top)):
        rise = top[column] - top[valley]
        if top[peak] - top[valley] >= depth and rise >= depth and column - peak >= apart:
            low = np.flatnonzero(top[peak : column + 1] <= top[valley] + 1) + peak
            cuts.append(int(round(float(low.mean()))))
            peak = valley = column
        elif top[column] > top[peak]:
            peak = valley = column
        elif top[column] < top[valley]:
            valley = column
    return cuts


def _confidence(part: Mask, *, cut: bool) -> float:
    """Higher for a shape with alike halves that is taller than wide; lower where it was cut."""
    alike = float((part & part[:, ::-1]).sum()) / max(1.0, float((part | part[:, ::-1]).sum()))
    tall = min(1.0, part.shape[0] / max(1, part.shape[1]))
    return float(np.clip(alike * (0.5 + 0.5 * tall) * (0.8 if cut else 1.0), 0, 1))
