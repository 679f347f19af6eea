"""Polar unwrap: a round base cut open and laid flat, so that lettering around it runs straight."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite, pi

import numpy as np
from PIL import Image

from .arrays import ImagingError, Picture, Point, checked_picture
from .rim_homography import Rim, fit_rim

WIDEST_PX = 20_000
USUAL_WIDEST_PX = 6_000
# Pieces a strip is cut into: a chord of one degree leaves its arc by less than 1/25,000 of the radius.
# Along a radius shares stay even, unless the base leans in perspective.
PIECES_A_TURN = 360
PIECES_IN_LEANING, PIECES_IN = 6, 1
MeshPiece = tuple[tuple[int, int, int, int], tuple[float, ...]]


@dataclass(frozen=True, slots=True, eq=False)
class Unrolled:
    """`picture` is the strip, of the kind of array it was made from; one turn is `turn_px` columns.

    The columns after `turn_px` repeat the first ones. The rows run from `outer` to `inner` (shares of the
    radius) downwards where the letters' heads point to the rim, upwards where they point to the middle.
    """

    picture: Picture
    turn_px: int
    rim: Rim
    outward: bool
    start_deg: float
    inner: float
    outer: float


def unroll(
    image: Picture,
    rim_points: Sequence[Point],
    *,
    outward: bool = True,
    start_deg: float = 0.0,
    inner: float = 0.3,
    outer: float = 1.0,
    repeat: float = 0.2,
    width: int | None = None,
    middle: Point | None = None,
) -> Unrolled:
    """Lay the ring between the shares `inner` and `outer` of the radius out as a strip.

    `rim_points` are (x, y) in pixels: three or four for a base seen straight on, five or more for a tilted
    one (see `fit_rim`, also for `middle`). `outward`: the letters' heads point to the rim and the strip
    reads clockwise; else they point to the middle and it reads the other way. The cut lies at `start_deg`,
    clockwise from the top. The first `repeat` of the turn stands again at the end, so that no word is cut.
    `width` is the number of columns of one turn (by itself as many as the picture has pixels two thirds up
    the ring, at most 6,000). Letters half way up the ring keep their proportions. What lies outside the
    picture is black.
    """
    image = checked_picture(image)
    if not 0.02 <= inner < outer <= 1.2 or outer - inner < 0.02:
        raise ImagingError("The ring runs from an inner to a larger outer share of the radius, 0.02 to 1.2.")
    if not 0 <= repeat <= 1:
        raise ImagingError("The part repeated at the end is a share of the turn, 0 to 1.")
    if not isfinite(start_deg):
        raise ImagingError("The start is an angle in degrees.")
    rim = fit_rim(rim_points, middle)
    usual = 2 * pi * rim.radius_px * (inner + 2 * outer) / 3
    turn_px = round(min(max(usual, 16), USUAL_WIDEST_PX)) if width is None else int(width)
    if not 16 <= turn_px <= WIDEST_PX:
        raise ImagingError(f"The strip can be 16 to {WIDEST_PX:,} pixels wide, not {turn_px:,}.")
    high = max(2, round((outer - inner) * turn_px / (pi * (inner + outer))))
    # A strip much smaller than the rim would skip pixels: the picture is first averaged down.
    factor = max(1, int(usual * rim.flatness / turn_px / 1.3))
    mesh = _mesh(rim, turn_px, high, outward, start_deg, inner, outer, factor)
    turn = _warped_through(image, mesh, (turn_px, high), factor)
    again = round(repeat * turn_px)
    strip = np.concatenate([turn, turn[:, :again]], axis=1) if again else turn
    return Unrolled(strip, turn_px, rim, outward, float(start_deg), float(inner), float(outer))


def _mesh(
    rim: Rim, wide: int, high: int, outward: bool, start_deg: float, inner: float, outer: float, factor: int
) -> list[MeshPiece]:
    """The strip cut into small boxes, each with the four corners in the picture that it shows."""
    columns = np.unique(np.linspace(0, wide, min(PIECES_A_TURN, ceil(wide / 4)) + 1).round().astype(int))
    leaning = bool(np.abs(rim.plane[2, :2]).max() > 1e-9)
    pieces_in = min(PIECES_IN_LEANING if leaning else PIECES_IN, high)
    rows = np.unique(np.linspace(0, high, pieces_in + 1).round().astype(int))
    turn = np.radians(start_deg + (1 if outward else -1) * 360.0 * columns / wide)
    down = rows / high
    share = outer - down * (outer - inner) if outward else inner + down * (outer - inner)
    base = np.stack(
        [
            share[:, None] * np.sin(turn)[None, :],
            -share[:, None] * np.cos(turn)[None, :],
            np.ones((len(rows), len(columns))),
        ]
    )
    x, y, w = np.tensordot(rim.plane, base, axes=1)
    # Pillow counts from the corner of the first pixel, not from its middle.
    x, y = ((x / w + 0.5) / factor).tolist(), ((y / w + 0.5) / factor).tolist()
    return [
        (
            (int(columns[i]), int(rows[j]), int(columns[i + 1]), int(rows[j + 1])),
            (
                x[j][i],
                y[j][i],
                x[j + 1][i],
                y[j + 1][i],
                x[j + 1][i + 1],
                y[j + 1][i + 1],
                x[j][i + 1],
                y[j][i + 1],
            ),
        )
        for j in range(len(rows) - 1)
        for i in range(len(columns) - 1)
    ]


def _warped_through(image: Picture, mesh: list[MeshPiece], size: tuple[int, int], factor: int) -> Picture:
    """The picture drawn through the mesh, of the same kind of numbers as it came."""
    if image.dtype == np.uint8 and (image.ndim == 2 or image.shape[2] in (3, 4)):
        return _warped_layer(Image.fromarray(np.ascontiguousarray(image)), mesh, size, factor)
    layers = image[..., None] if image.ndim == 2 else image
    drawn = [
        _warped_layer(Image.fromarray(np.ascontiguousarray(layer, dtype=np.float32)), mesh, size, factor)
        for layer in np.moveaxis(layers, 2, 0)
    ]
    strip = np.stack(drawn, axis=2)
    if np.issubdtype(image.dtype, np.integer):
        strip = np.clip(np.round(strip), 0, np.iinfo(image.dtype).max)
    return (strip[..., 0] if image.ndim == 2 else strip).astype(image.dtype)


def _warped_layer(picture: Image.Image, mesh: list[MeshPiece], size: tuple[int, int], factor: int) -> Picture:
    if factor > 1:
        picture = picture.reduce(factor)
    return np.asarray(picture.transform(size, Image.Transform.MESH, mesh, Image.Resampling.BILINEAR))
