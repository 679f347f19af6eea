"""The rim of a round base: a circle or ellipse fitted by least squares, and the homography that it fixes."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Point

FLATTEST = 0.5
WIDEST_GAP_DEG = {"circle": 300.0, "ellipse": 235.0}
SPREAD_OUT = "Spread the points further around the rim."
PointArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """`plane` (3×3) carries the base, its rim the unit circle (x right, y down), into the picture.

    Turns are in degrees, clockwise, from the point of the rim straight above its middle in the picture.
    `radius_px` is the longest half axis, `flatness` short axis by long axis (1 straight on), `misfit_px`
    how far the points lie from the fitted curve (root mean square; 0 through three or exactly five points).
    """

    plane: NDArray[np.float64]
    radius_px: float
    flatness: float
    misfit_px: float

    @property
    def middle(self) -> Point:
        """Where the middle of the base lies in the picture."""
        return float(self.plane[0, 2] / self.plane[2, 2]), float(self.plane[1, 2] / self.plane[2, 2])

    def at(self, turn_deg: float, share: float = 1.0) -> Point:
        """The place in the picture at that turn and that share of the radius."""
        turn = radians(turn_deg)
        x, y, w = self.plane @ np.array([share * sin(turn), -share * cos(turn), 1.0])
        return float(x / w), float(y / w)


def fit_rim(rim_points: Sequence[Point], middle: Point | None = None) -> Rim:
    """The rim through three or four points (a circle) or five and more (an ellipse: the base was tilted).

    A camera close by sees the far half of a tilted base smaller, and the middle of the ellipse is then not
    the middle of the base. Give `middle`, a tap on the true one, to put that right; else a far camera is
    assumed. Raises ImagingError for points that hold no rim.
    """
    points = np.asarray(rim_points, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 3:
        raise ImagingError("Mark at least three points on the rim.")
    if not np.isfinite(points).all() or np.abs(points).max() > 1e6:
        raise ImagingError("A point on the rim lies far outside the picture.")
    if len(points) < 5:
        x, y, radius = fit_circle(points)
        centre, shape, kind = np.array([x, y]), np.eye(2) * radius, "circle"
    else:
        centre, shape = fit_ellipse(points)
        kind = "ellipse"
    around = np.linalg.solve(shape, (points - centre).T).T
    turns = np.sort(np.degrees(np.arctan2(around[:, 1], around[:, 0])))
    if np.diff(turns, append=turns[0] + 360).max() > WIDEST_GAP_DEG[kind]:
        raise ImagingError(f"The points all lie on one side. {SPREAD_OUT}")
    half_axes = np.linalg.eigvalsh(shape)
    if half_axes[0] < 4:
        raise ImagingError("The marked rim is too small: at least 8 pixels across are needed.")
    flatness = float(half_axes[0] / half_axes[1])
    if flatness < FLATTEST:
        raise ImagingError("The base is tilted too far to be straightened; take the picture more from above.")
    off = (np.hypot(around[:, 0], around[:, 1]) - 1) * np.sqrt(np.prod(half_axes))
    plane = np.eye(3)
    plane[:2, :2], plane[:2, 2] = shape, centre
    if middle is not None:
        plane = plane @ _perspective(np.linalg.solve(shape, np.asarray(middle, dtype=np.float64) - centre))
    plane = plane @ _upright(plane)
    return Rim(plane, float(half_axes[1]), flatness, float(np.sqrt((off**2).mean())))


def _perspective(off: NDArray[np.float64]) -> NDArray[np.float64]:
    """The projective map that keeps the unit circle and carries its middle to `off`.

    The circle and the image of its middle fix the view of a plane up to a turn (the middle's polar line is
    the plane's horizon): Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 2.7 and 8.
    """
    share = float(np.hypot(*off))
    if not share < 0.35:
        raise ImagingError("The marked middle lies too far from the middle of the rim.")
    if share < 1e-9:
        return np.eye(3)
    c, s = off / share
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    lean = np.array([[1, 0, share], [0, np.sqrt(1 - share**2), 0], [share, 0, 1]])
    return np.asarray(turn @ lean @ turn.T)


def _upright(plane: NDArray[np.float64]) -> NDArray[np.float64]:
    """The turn of the base that puts its top straight above its middle in the picture."""
    x, y = plane[0, 2] / plane[2, 2], plane[1, 2] / plane[2, 2]
    back = np.linalg.inv(plane)
    up = back @ np.array([x, y - 1.0, 1.0])
    turn = atan2(up[0] / up[2], -up[1] / up[2])
    c, s = cos(turn), sin(turn)
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def fit_circle(points: PointArray) -> tuple[float, float, float]:
    """Centre x, y and radius of the circle through (n, 2) points, n ≥ 3, by least squares.

    Kåsa 1976: x² + y² = 2ax + 2by + c is linear in a, b and c. Through three points it is exact.
    """
    middle = points.mean(axis=0)
    size = float(np.abs(points - middle).max())
    if size <= 0:
        raise ImagingError("The points all lie on one place.")
    near = (points - middle) / size
    system = np.column_stack([2 * near, np.ones(len(near))])
    if np.linalg.cond(system) > 200:
        raise ImagingError(f"The points lie on a line, or too close together. {SPREAD_OUT}")
    a, b, c = np.linalg.lstsq(system, (near**2).sum(axis=1), rcond=None)[0]
    radius = float(np.sqrt(c + a * a + b * b))
    return float(middle[0] + size * a), float(middle[1] + size * b), size * radius


def fit_ellipse(points: PointArray) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Centre (2,) and the symmetric 2×2 matrix that turns the unit circle into the ellipse of (n, 2) points.

    Direct least squares, n ≥ 5: Fitzgibbon, Pilu and Fisher 1999, in the stable form of Halíř and Flusser
    1998.
    """
    middle = points.mean(axis=0)
    size = float(np.abs(points - middle).max())
    if size <= 0:
        raise ImagingError("The points all lie on one place.")
    x, y = ((points - middle) / size).T
    square = np.column_stack([x * x, x * y, y * y])
    straight = np.column_stack([x, y, np.ones_like(x)])
    if np.linalg.cond(straight) > 200:
        raise ImagingError(f"The points lie on a line, or too close together. {SPREAD_OUT}")
    fold = -np.linalg.solve(straight.T @ straight, straight.T @ square)
    reduced = square.T @ square + (square.T @ straight) @ fold
    turned = np.array([reduced[2] / 2, -reduced[1], reduced[0] / 2])
    _, vectors = np.linalg.eig(turned)
    vectors = np.real(vectors)
    kind = 4 * vectors[0] * vectors[2] - vectors[1] ** 2
    if not (kind > 0).any():
        raise ImagingError(f"No ellipse runs through these points. {SPREAD_OUT}")
    quadratic = vectors[:, int(np.argmax(kind))]
    a, b, c = quadratic
    d, e, f = fold @ quadratic
    form = np.array([[a, b / 2], [b / 2, c]])
    centre = np.linalg.solve(-2 * form, np.array([d, e]))
    level = float(centre @ form @ centre) - f
    values, axes = np.linalg.eigh(form / level)
    if not np.isfinite(values).all() or values.min() <= 0:
        raise ImagingError(f"No ellipse runs through these points. {SPREAD_OUT}")
    shape = axes @ np.diag(1 / np.sqrt(values)) @ axes.T
    return middle + size * centre, size * shape
