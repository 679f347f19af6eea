"""Contour of a bottle before a plain ground: edge detection, axis, radius at every height."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import ImagingError, Map, Picture, Point, as_fractions, downsampled
from .background import fit_background, otsu_threshold
from .connected_components import Mask, Region, closed, connected_components
from .gaussian_blur import gaussian_blur

WORKING_PX = 1400
GROUND_PX = 300
# Spreads of the ground; what differs by less could be the ground itself.
LEAST_SPREADS = 5.0
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


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """For each of `rows` (downwards) the columns of both edges and how clear they are, 0 to 1."""

    rows: Numbers
    left: Numbers
    right: Numbers
    strength: Numbers


@dataclass(frozen=True, slots=True)
class SymmetryAxis:
    """The column of the axis at row 0 and by how much it goes right for each row up."""

    column: float
    lean: float

    def at(self, row: float) -> float:
        """Its column in a row."""
        return self.column - self.lean * row


def bottle_outline(image: Picture) -> Outline:
    """The outline of the one bottle that stands, nearly upright, before a plain ground with room around it.

    The ground is fitted as a smooth surface to what lies at the picture's sides and top; the bottle is the
    largest patch that differs, and its edge the outermost sharp step in each row, to a part of a pixel.
    A soft shadow has no sharp step. Raises ImagingError where no such patch stands free.
    """
    colours = as_fractions(image)
    if colours.ndim == 2:
        colours = colours[..., None]
    shrunk = max(1.0, max(colours.shape[:2]) / WORKING_PX)
    colours = downsampled(colours, shrunk)
    differs = _background_difference(colours)
    patch, mask = _largest_component(differs)
    sides = sides_of(differs, mask, (patch.top, patch.bottom))
    axis = axis_of(sides)
    return _radius_along_axis(sides, axis, shrunk)


def _background_difference(colours: Map) -> Map:
    """How far each pixel is from what the ground would be there, in spreads of the ground."""
    height, width = colours.shape[:2]
    small = downsampled(colours, max(1.0, max(height, width) / GROUND_PX))
    tall, wide = small.shape[:2]
    margin = max(2, round(0.07 * wide))
    known = np.zeros((tall, wide), dtype=np.bool_)
    known[: max(2, round(0.03 * tall))] = True
    known[:, :margin] = known[:, -margin:] = True
    ground, spread = fit_background(small, known, degree=4)
    layers = [Image.fromarray(np.ascontiguousarray(layer)) for layer in np.moveaxis(ground, 2, 0)]
    full = np.stack([np.asarray(layer.resize((width, height))) for layer in layers], axis=2)
    spread = np.maximum(spread, 0.006)
    return np.asarray(np.sqrt((((colours - full) / spread) ** 2).mean(axis=2)), dtype=np.float32)


def _largest_component(differs: Map) -> tuple[Region, Mask]:
    """The patch of the bottle, its holes closed, as a mask as large as the picture."""
    height, width = differs.shape
    soft = gaussian_blur(differs, max(1.0, height / 500))
    # Logarithms, since a bottle differs from its ground by anything from a little to a lot.
    limit = max(LEAST_SPREADS, float(np.expm1(otsu_threshold(np.log1p(soft)))))
    close = max(2, round(min(height, width) / 100))
    labels, found = connected_components(closed(soft > limit, close))
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


def _radius_along_axis(sides: Sides, axis: SymmetryAxis, shrunk: float) -> Outline:
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
    left, right = (np.interp(height, *_sorted_by(along, radius)) for along, radius in measured)
    sure = np.interp(height, *_sorted_by(measured[0][0], sides.strength))
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


def _sorted_by(along: Numbers, values: Numbers) -> tuple[Numbers, Numbers]:
    order = np.argsort(along)
    return along[order], values[order]


def sides_of(differs: Map, mask: Mask, span: tuple[int, int]) -> Sides:
    """The outermost sharp steps of `differs` (distance from the ground) in the rows of `span`.

    A step is sharp where it rises within a few pixels by a good part of what the edges of this bottle usually
    do; a shadow's does not.
    """
    capped = np.minimum(differs, np.float32(np.quantile(differs[mask], 0.7)))
    steep = np.gradient(gaussian_blur(capped, 1.0), axis=1)
    rows = np.arange(span[0], span[1])
    firsts, lasts = _row_extents(mask[rows])
    inner = np.array([_outermost(steep[row], a, b) for row, a, b in zip(rows, firsts, lasts, strict=True)])
    clear = np.minimum(inner[:, 2], inner[:, 3])
    usual = float(np.quantile(clear, 0.6))
    good = (clear > 0.15 * usual) & (inner[:, 1] > inner[:, 0])
    # Above the lip and below the foot there is nothing sharp on both sides: those rows are not the bottle's.
    if usual <= 0 or good.sum() < 30:
        raise ImagingError("The bottle's edge is too soft to follow; use a plain ground and a sharp picture.")
    kept = np.flatnonzero(good)
    rows, inner, clear = (
        rows[kept[0] : kept[-1] + 1],
        inner[kept[0] : kept[-1] + 1],
        clear[kept[0] : kept[-1] + 1],
    )
    strength = np.clip(clear / max(usual, 1e-9), 0, 1)
    return Sides(rows.astype(np.float64), inner[:, 0], inner[:, 1], strength)


def _row_extents(mask: Mask) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last column of the mask in each row; an empty row gives an empty reach."""
    any_row = mask.any(axis=1)
    first = np.where(any_row, mask.argmax(axis=1), 0)
    last = np.where(any_row, mask.shape[1] - 1 - mask[:, ::-1].argmax(axis=1), 0)
    return first, last


def _outermost(steep: Map, first: int, last: int) -> tuple[float, float, float, float]:
    """Columns of the outermost sharp rise and fall of one row and how steep they are."""
    slack = 4
    low, high = max(1, int(first) - slack), min(len(steep) - 2, int(last) + slack)
    part = steep[low : high + 1]
    if len(part) < 3:
        return float(first), float(last), 0.0, 0.0
    rise, fall = float(part.max()), float(-part.min())
    left = low + int(np.argmax(part > 0.4 * rise))
    right = high - int(np.argmax(part[::-1] < -0.4 * fall))
    while left < high and steep[left + 1] > steep[left]:
        left += 1
    while right > low and steep[right - 1] < steep[right]:
        right -= 1
    return (
        left + _subpixel_peak(steep, left),
        right + _subpixel_peak(-steep, right),
        float(steep[left]),
        float(-steep[right]),
    )


def _subpixel_peak(values: Map, place: int) -> float:
    """How far the top of a parabola through three values lies from the middle one."""
    if not 0 < place < len(values) - 1:
        return 0.0
    before, here, after = (float(v) for v in values[place - 1 : place + 2])
    bend = before - 2 * here + after
    return float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0


def axis_of(sides: Sides) -> SymmetryAxis:
    """The straight line through the middles of the rows, those far off counting less and less."""
    middles = (sides.left + sides.right) / 2
    weight = sides.strength + 1e-3
    factors = np.polyfit(sides.rows, middles, 1, w=weight)
    for _ in range(12):
        off = np.abs(middles - np.polyval(factors, sides.rows))
        scale = max(0.5, 2 * float(np.median(off)))
        # Tukey's biweight: far rows (a handle, a shadow) in the end don't count at all.
        share = np.clip(1 - (off / (3 * scale)) ** 2, 0, 1)
        factors = np.polyfit(sides.rows, middles, 1, w=weight * share + 1e-6)
    return SymmetryAxis(float(factors[1]), float(-factors[0]))
