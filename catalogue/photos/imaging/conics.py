"""Circles and ellipses through points that were tapped by hand."""

import numpy as np
from numpy.typing import NDArray

from .errors import ImagingError

Points = NDArray[np.float64]
SPREAD_OUT = "Spread the points further around the rim."


def circle(points: Points) -> tuple[float, float, float]:
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


def ellipse(points: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
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
