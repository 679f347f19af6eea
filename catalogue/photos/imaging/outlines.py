"""The outline of a bottle in front of a plain ground: its radius at every height."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import Map, Picture, Point, fractions, shrunk_by
from .blurring import blur
from .errors import ImagingError
from .grounds import parting, smooth_ground
from .regions import Mask, Region, grown, regions
from .sides import Axis, Sides, axis_of, sides_of

LONGEST = 1400
GROUND_PX = 300
# Spreads of the ground; what differs by less could be the ground itself.
LEAST = 5.0
Numbers = NDArray[np.float64]
UNCLEAR = "No bottle stands out from the ground; use a plain, evenly lit one."


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """`radius_px` at each `height_px` above the foot (steps of a pixel) and a `confidence` from 0 to 1.

    The confidence falls where an edge is weak or the two sides disagree (a handle, a shadow, a chip); there
    the nearer side counts. `foot` and `lip` are the ends of the axis in the picture, `tilt_deg` its lean to
    the right. Everything is in pixels of the picture given.
    """

    height_px: Numbers
    radius_px: Numbers
    confidence: Numbers
    foot: Point
    lip: Point
    tilt_deg: float

    @property
    def tall_px(self) -> float:
        """From foot to lip."""
        return float(self.height_px[-1])

    @property
    def wide_px(self) -> float:
        """The greatest diameter, by the surer half of the rows."""
        sure = self.confidence >= np.median(self.confidence)
        return float(2 * np.quantile(self.radius_px[sure], 0.99))


def bottle_outline(image: Picture) -> Outline:
    """The outline of the one bottle that stands, nearly upright, before a plain ground with room around it.

    The ground is fitted as a smooth surface to what lies at the picture's sides and top; the bottle is the
    largest patch that differs, and its edge the outermost sharp step in each row, to a part of a pixel.
    A soft shadow has no sharp step. Raises ImagingError where no such patch stands free.
    """
    colours = fractions(image)
    if colours.ndim == 2:
        colours = colours[..., None]
    shrunk = max(1.0, max(colours.shape[:2]) / LONGEST)
    colours = shrunk_by(colours, shrunk)
    differs = _unlike_ground(colours)
    patch, mask = _bottle(differs)
    sides = sides_of(differs, mask, (patch.top, patch.bottom))
    axis = axis_of(sides)
    return _along(sides, axis, shrunk)


def _unlike_ground(colours: Map) -> Map:
    """How far each pixel is from what the ground would be there, in spreads of the ground."""
    height, width = colours.shape[:2]
    small = shrunk_by(colours, max(1.0, max(height, width) / GROUND_PX))
    tall, wide = small.shape[:2]
    margin = max(2, round(0.07 * wide))
    known = np.zeros((tall, wide), dtype=np.bool_)
    known[: max(2, round(0.03 * tall))] = True
    known[:, :margin] = known[:, -margin:] = True
    ground, spread = smooth_ground(small, known, degree=4)
    layers = [Image.fromarray(np.ascontiguousarray(layer)) for layer in np.moveaxis(ground, 2, 0)]
    full = np.stack([np.asarray(layer.resize((width, height))) for layer in layers], axis=2)
    spread = np.maximum(spread, 0.006)
    return np.asarray(np.sqrt((((colours - full) / spread) ** 2).mean(axis=2)), dtype=np.float32)


def _bottle(differs: Map) -> tuple[Region, Mask]:
    """The patch of the bottle, its holes closed, as a mask as large as the picture."""
    height, width = differs.shape
    soft = blur(differs, max(1.0, height / 500))
    # Logarithms, since a bottle differs from its ground by anything from a little to a lot.
    limit = max(LEAST, float(np.expm1(parting(np.log1p(soft)))))
    close = max(2, round(min(height, width) / 100))
    labels, found = regions(grown(grown(soft > limit, close), -close))
    if not found:
        raise ImagingError(UNCLEAR)
    patch = found[0]
    tall, wide = patch.bottom - patch.top, patch.right - patch.left
    if tall < 40 or patch.pixels < 0.004 * labels.size:
        raise ImagingError(UNCLEAR)
    if patch.top <= 1 or (patch.left <= 1 and patch.right >= width - 1):
        raise ImagingError("The bottle must stand free, with some ground above it and at both sides.")
    if wide > 1.6 * tall:
        raise ImagingError("Turn the picture so that the bottle stands upright.")
    return patch, labels == patch.label


def _along(sides: Sides, axis: Axis, shrunk: float) -> Outline:
    """The two sides measured along and across the axis, then joined."""
    lean = np.array([axis.lean, -1.0])
    up = lean / np.hypot(*lean)
    across = np.array([-up[1], up[0]])
    start = np.array([axis.at(sides.rows[-1]), sides.rows[-1]])
    measured = []
    for columns, sign in ((sides.left, -1), (sides.right, 1)):
        off = np.column_stack([columns, sides.rows]) - start
        measured.append((off @ up, sign * (off @ across)))
    top = max(float(along.max()) for along, _ in measured)
    low = min(float(along.min()) for along, _ in measured)
    count = int((top - low) * shrunk) + 1
    height = np.arange(count) / shrunk + low
    left, right = (np.interp(height, *_rising(along, radius)) for along, radius in measured)
    sure = np.interp(height, *_rising(measured[0][0], sides.strength))
    largest = float(np.quantile(np.minimum(left, right), 0.95))
    agree = np.exp(-(((left - right) / (0.06 * largest + 1.0)) ** 2))
    nearer = np.minimum(left, right)
    radius = np.maximum(np.where(agree > 0.5, (left + right) / 2, nearer), 0)
    ends = [(start + along * up + 0.5) * shrunk - 0.5 for along in (low, top)]
    return Outline(
        (height - low) * shrunk,
        radius * shrunk,
        np.clip(sure * agree, 0, 1),
        (float(ends[0][0]), float(ends[0][1])),
        (float(ends[1][0]), float(ends[1][1])),
        float(np.degrees(np.arctan(axis.lean))),
    )


def _rising(along: Numbers, values: Numbers) -> tuple[Numbers, Numbers]:
    order = np.argsort(along)
    return along[order], values[order]
