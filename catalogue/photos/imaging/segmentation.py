"""Segmentation of a picture of a rack: bounding boxes proposed around its bottles, touching ones split."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Map, Picture, as_fractions, downsampled
from .boards import sheared, spaces_between
from .connected_components import Mask, Region, connected_components
from .gaussian_blur import gaussian_blur
from .wall import off_the_wall

SHELF_WORKING_PX = 720
FOOT_STEP, SPLIT_STEP = 0.03, 0.12
"""The step in colour at a bottle's foot, and where two stand side by side."""
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
    """Boxes of the bottles standing on the boards of a rack, board by board from the left.

    Empty where none is made out. Each board's row is looked for by itself, in the space above it,
    straightened where the picture is tilted. Bottles are the patches that differ from the wall and reach down
    to the board. Where two touch, the outline of their tops has a valley between two peaks and the box is cut
    there; else, where a box is much wider than its row's others, along the line where colours change most.
    Bottles that overlap, or white ones before a white wall, need a person's eye.
    """
    colours = as_fractions(image)
    if colours.ndim == 2:
        colours = colours[..., None]
    shrunk = max(1.0, max(colours.shape[:2]) / SHELF_WORKING_PX)
    colours = downsampled(colours, shrunk)
    if min(colours.shape[:2]) < 60:
        raise ImagingError("The picture is too small or too narrow to look for bottles in it.")
    height, width = int(colours.shape[0]), int(colours.shape[1])
    found = []
    for space in spaces_between(colours):
        level = sheared(colours, space.slope)
        row = _row(level[space.top : space.front + 1], space.edge - space.top)
        for left, top, right, bottom, confidence in row:
            # Turned back: a box leans with the rack, and holds what it held.
            sinks = (space.slope * (left - width / 2), space.slope * (right - width / 2))
            box = (
                round(left * shrunk),
                round(max(0, space.top + top + min(sinks)) * shrunk),
                round(right * shrunk),
                round(min(height, space.top + bottom + max(sinks)) * shrunk),
            )
            found.append(BottleBox(*box, round(confidence, 2)))
    return found


def _row(colours: Map, edge: int) -> list[ScoredBox]:
    """The bottles of one row, from the left; `colours` hold the space and, from `edge` on, its board."""
    try:
        labels, found = connected_components(off_the_wall(colours[:edge]))
    except ImagingError:
        return []  # nothing but glass, or nothing but a shadow: the other rows may do
    boxes = []
    for patch in found:
        if _could_be_bottles(patch, colours.shape[:2], edge):
            boxes += split_touching(
                labels[patch.top : patch.bottom, patch.left : patch.right] == patch.label, patch
            )
    boxes = _split_wide(colours, boxes)
    tallest = max((box[3] - box[1] for box in boxes), default=0)
    steps = _level_steps(colours)
    return [
        (left, top, right, _foot(steps, left, right, bottom, edge, len(colours) - 1), confidence)
        for left, top, right, bottom, confidence in sorted(boxes)
        if bottom - top > 0.2 * tallest and right - left > 0.05 * tallest
    ]


def _level_steps(colours: Map) -> Map:
    """How each pixel differs from the one below, less what its whole row does."""
    soft = np.stack([gaussian_blur(layer, 1.0) for layer in np.moveaxis(colours, 2, 0)])
    step = np.abs(np.diff(soft, axis=1)).sum(axis=0)
    return np.asarray(step - np.median(step, axis=1, keepdims=True), dtype=np.float32)


def _foot(steps: Map, left: int, right: int, bottom: int, edge: int, front: int) -> int:
    """The row of the foot: on the board, where the bottle's middle ends in a clear level step."""
    wide = right - left
    if bottom < edge - 2 or front - edge < 3:
        return bottom
    part = steps[edge + 1 : front, left + wide // 5 : right - wide // 5].mean(axis=1)
    return edge + 2 + int(part.argmax()) if part.max() > FOOT_STEP else bottom


def _could_be_bottles(patch: Region, shape: tuple[int, ...], edge: int) -> bool:
    """Tall enough, full enough, standing on the shelf and not the frame of the picture."""
    tall, wide = patch.bottom - patch.top, patch.right - patch.left
    stands = patch.top < edge and patch.bottom >= edge - 0.13 * shape[0]
    full = patch.pixels > 0.25 * tall * wide
    return stands and full and tall > 0.12 * shape[0] and wide > max(0.12 * tall, 0.012 * shape[1])


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


def _split_wide(colours: Map, boxes: list[ScoredBox]) -> list[ScoredBox]:
    """The boxes, those cut in two that are much wider than the row's usual: jars that touch have no valley.

    It is cut where the colours change most along an upright line, at least a third of the usual width from
    each side.
    """
    usual = float(np.median([right - left for left, _, right, _, _ in boxes])) if boxes else 0.0
    out = []
    for left, top, right, bottom, confidence in boxes:
        wide, tall = right - left, bottom - top
        near = round(max(0.35 * usual, 0.3 * wide))
        if len(boxes) < 4 or wide < 1.6 * usual or wide < 0.62 * tall or wide <= 2 * near:
            out.append((left, top, right, bottom, confidence))
            continue
        part = colours[top + tall // 2 : bottom, left:right]
        change = np.abs(part[:, 3:] - part[:, :-3]).sum(axis=2)
        line = np.quantile(change, 0.3, axis=0)[near - 1 : wide - near - 2]
        cut = left + near + int(line.argmax())
        if line.max() < SPLIT_STEP:
            out.append((left, top, right, bottom, confidence))
        else:
            out += [(left, top, cut, bottom, 0.8 * confidence), (cut, top, right, bottom, 0.8 * confidence)]
    return out


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
