"""Photometric stereo (Woodham 1980): a surface's normals, slopes and height from its light under known lamps.

Also the way back: the surface lit anew by a lamp that never stood there.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Map, linear_to_srgb

WEAKEST_SINGULAR_VALUE = 0.05


def lamp_directions(clock: Sequence[float], elevation_deg: float | Sequence[float]) -> NDArray[np.float64]:
    """Unit vectors (n, 3) from the piece to each lamp: right, up the picture, towards the camera.

    `clock` in hours, 0 to 12 (12 above, 3 to the right; 1.5 is half past one). `elevation_deg` one for all or
    one each, above 0 to 90.
    """
    hours = np.asarray(clock, dtype=np.float64)
    rise = np.asarray(elevation_deg, dtype=np.float64)
    if (
        hours.ndim != 1
        or len(hours) < 1
        or not np.isfinite(hours).all()
        or hours.min() < 0
        or hours.max() > 12
    ):
        raise ImagingError("The lamp's place is an hour of the clock, 0 to 12.")
    if rise.ndim > 1 or (rise.ndim == 1 and len(rise) != len(hours)):
        raise ImagingError("Give one height of the lamp for all pictures, or one for each.")
    if not np.isfinite(rise).all() or rise.min() <= 0 or rise.max() > 90:
        raise ImagingError("The lamp's height is an angle above 0 up to 90 degrees.")
    turn = hours * (np.pi / 6)
    rise = np.broadcast_to(np.radians(rise), hours.shape)
    return np.column_stack([np.sin(turn) * np.cos(rise), np.cos(turn) * np.cos(rise), np.sin(rise)])


def normals_and_albedo(stack: Map, lamps: NDArray[np.float64]) -> tuple[Map, Map]:
    """Unit normals (3, height, width: right, up, towards the camera) and albedo (height, width).

    `stack` are aligned amounts of light (n, height, width), `lamps` unit vectors (n, 3). Woodham 1980: a dull
    (Lambertian) surface sends back albedo × normal · lamp, so three or more lamps not in one plane give both
    by least squares. Where shadow or shine breaks that rule, the worst lamp is left out and the rest asked
    again, if five or more lamps are there. Glass breaks it everywhere: it must be dulled first.
    """
    if len(lamps) < 3 or np.linalg.svd(lamps, compute_uv=False)[-1] < WEAKEST_SINGULAR_VALUE:
        raise ImagingError(
            "Slopes need at least three lamps from clearly different sides, not in one line across the piece."
        )
    shape = stack.shape[1:]
    rows = stack.reshape(len(lamps), -1)
    aim = lamps.astype(np.float32)
    found = np.linalg.pinv(lamps).astype(np.float32) @ rows
    if len(lamps) >= 5:
        _leave_out_outliers(found, rows, aim)
    albedo = np.sqrt((found * found).sum(axis=0))
    facing = found / np.maximum(albedo, np.float32(1e-6))
    facing[:, albedo <= 1e-6] = np.array([[0], [0], [1]], dtype=np.float32)
    # Nothing that is seen faces away from the camera.
    facing[2] = np.maximum(facing[2], np.float32(0.05))
    facing /= np.sqrt((facing * facing).sum(axis=0))
    return facing.reshape(3, *shape), albedo.reshape(shape)


def _leave_out_outliers(found: Map, rows: Map, aim: Map) -> None:
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
        if len(these) and np.linalg.svd(rest, compute_uv=False)[-1] >= WEAKEST_SINGULAR_VALUE:
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


def integrate(right: Map, down: Map) -> Map:
    """The height (in pixels, mean 0) whose rise per pixel to the right and down fits the two maps best.

    Frankot and Chellappa 1988: the best surface in the least-squares sense, found among cosines. The maps are
    mirrored at their edges, so that one side need not meet the other. Steps as the pixels see them (centred
    differences) would be blind to the finest ripple; the exact derivative of the cosines is used instead.
    """
    height, width = right.shape
    # The mirrored height is even; so its slope across is odd across and even down.
    wide = np.concatenate([right, -right[:, ::-1]], axis=1)
    wide = np.concatenate([wide, wide[::-1]], axis=0)
    tall = np.concatenate([down, -down[::-1]], axis=0)
    tall = np.concatenate([tall, tall[:, ::-1]], axis=1)
    across = (2 * np.pi * np.fft.rfftfreq(2 * width)).astype(np.float32)[None, :]
    along = (2 * np.pi * np.fft.fftfreq(2 * height)).astype(np.float32)[:, None]
    power = across**2 + along**2
    power[0, 0] = 1
    wave = np.fft.rfft2(wide.astype(np.float32)) * across
    wave += np.fft.rfft2(tall.astype(np.float32)) * along
    wave *= np.complex64(-1j)
    wave /= power
    wave[0, 0] = 0
    return np.asarray(np.fft.irfft2(wave, s=(2 * height, 2 * width))[:height, :width], dtype=np.float32)


def relight(
    normals: Map, clock: float, elevation_deg: float, *, albedo: Map | None = None, exaggerate: float = 1.0
) -> Map:
    """The surface as a picture (grey values 0 to 1) under a lamp at that hour and height.

    `normals` are (3, height, width) as `raking_relief` gives them, `albedo` (height, width) adds what is
    light or dark by itself, `exaggerate` multiplies every slope. A dull surface: albedo × normal · lamp.
    """
    if normals.ndim != 3 or normals.shape[0] != 3:
        raise ImagingError("Normals are an array of 3 by height by width.")
    if not 0 < exaggerate <= 50:
        raise ImagingError("Slopes can be made up to 50 times as steep, and at least above 0 times.")
    if albedo is not None and albedo.shape != normals.shape[1:]:
        raise ImagingError("The albedo has another size than the normals.")
    lamp = lamp_directions([clock], elevation_deg)[0].astype(np.float32)
    steep = np.float32(exaggerate)
    facing = steep * (normals[0] * lamp[0] + normals[1] * lamp[1]) + normals[2] * lamp[2]
    if exaggerate != 1:
        facing = facing / np.sqrt(steep**2 * (normals[0] ** 2 + normals[1] ** 2) + normals[2] ** 2)
    if albedo is not None:
        facing = facing * albedo
    return linear_to_srgb(np.clip(facing, 0, 1))
