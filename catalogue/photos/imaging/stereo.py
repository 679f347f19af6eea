"""Which way each part of a dull surface faces, from its brightness under lamps of known direction."""

import numpy as np
from numpy.typing import NDArray

from .arrays import Map
from .errors import ImagingError

WEAKEST = 0.05


def normals_and_albedo(stack: Map, lamps: NDArray[np.float64]) -> tuple[Map, Map]:
    """Unit normals (3, height, width: right, up, towards the camera) and albedo (height, width).

    `stack` are aligned amounts of light (n, height, width), `lamps` unit vectors (n, 3). Woodham 1980: a dull
    (Lambertian) surface sends back albedo × normal · lamp, so three or more lamps not in one plane give both
    by least squares. Where shadow or shine breaks that rule, the worst lamp is left out and the rest asked
    again, if five or more lamps are there. Glass breaks it everywhere: it must be dulled first.
    """
    if len(lamps) < 3 or np.linalg.svd(lamps, compute_uv=False)[-1] < WEAKEST:
        raise ImagingError(
            "Slopes need at least three lamps from clearly different sides, not in one line across the piece."
        )
    shape = stack.shape[1:]
    rows = stack.reshape(len(lamps), -1)
    aim = lamps.astype(np.float32)
    found = np.linalg.pinv(lamps).astype(np.float32) @ rows
    if len(lamps) >= 5:
        _without_the_worst(found, rows, aim)
    albedo = np.sqrt((found * found).sum(axis=0))
    facing = found / np.maximum(albedo, np.float32(1e-6))
    facing[:, albedo <= 1e-6] = np.array([[0], [0], [1]], dtype=np.float32)
    # Nothing that is seen faces away from the camera.
    facing[2] = np.maximum(facing[2], np.float32(0.05))
    facing /= np.sqrt((facing * facing).sum(axis=0))
    return facing.reshape(3, *shape), albedo.reshape(shape)


def _without_the_worst(found: Map, rows: Map, aim: Map) -> None:
    """Ask again, in place, where one lamp disagrees with the rest by far more than the usual."""
    misfit = aim @ found
    misfit -= rows
    np.abs(misfit, out=misfit)
    usual = float(np.median(misfit[:, ::61])) + 1e-4
    doubtful = np.flatnonzero(misfit.max(axis=0) > 6 * usual)
    worst = misfit[:, doubtful].argmax(axis=0)
    for lamp in range(len(aim)):
        these = doubtful[worst == lamp]
        rest = np.delete(aim, lamp, axis=0)
        if len(these) and np.linalg.svd(rest, compute_uv=False)[-1] >= WEAKEST:
            found[:, these] = np.linalg.pinv(rest).astype(np.float32) @ np.delete(
                rows[:, these], lamp, axis=0
            )


def slopes(normals: Map) -> tuple[Map, Map]:
    """Rise towards the camera per pixel to the right and per pixel down."""
    towards = np.maximum(normals[2], np.float32(0.05))
    return (-normals[0] / towards).astype(np.float32), (normals[1] / towards).astype(np.float32)


def slope_deg(normals: Map) -> Map:
    """How far each part leans away from facing the camera, in degrees."""
    return np.asarray(np.degrees(np.arccos(np.clip(normals[2], -1, 1))), dtype=np.float32)
