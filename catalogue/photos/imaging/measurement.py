"""Measurement: a size from a picture that shows a scale or a coin beside the bottle, with its uncertainty."""

from dataclasses import dataclass
from math import hypot, isfinite, sqrt

from .arrays import ImagingError, Point

# Value from memory, no source: a phone's main lens straightens itself to about this share.
LENS_SHARE = 0.005
COVERAGE = 2.0


# Standard error of the depth that somebody says (our own value).
DEPTH_ERROR_MM = 5.0


@dataclass(frozen=True, slots=True)
class Measured:
    """A size in mm and its error in mm: about 19 of 20 times the true size lies within `mm` ± `error_mm`.

    `parts_mm` tells the share of each cause in that error: `scale`, `tap`, `depth`, `lens`.
    """

    mm: float
    error_mm: float
    parts_mm: dict[str, float]


def distance_px(one: Point, other: Point) -> float:
    """The distance between two taps in pixels."""
    return hypot(one[0] - other[0], one[1] - other[1])


def measure(
    scale_px: float,
    scale_mm: float,
    object_px: float,
    *,
    scale_error_mm: float = 0.0,
    tap_px: float = 2.0,
    camera_mm: float | None = None,
    nearer_mm: float = 0.0,
    depth_error_mm: float = DEPTH_ERROR_MM,
    lens_share: float = LENS_SHARE,
) -> Measured:
    """The size of what is `object_px` long in a picture where `scale_mm` is `scale_px` long.

    `tap_px` is how far a tap may be off (standard error of one end). `nearer_mm` tells how much nearer to
    the camera the object lies than the scale (negative: further away), `camera_mm` how far the camera stood
    from the scale: an object nearer by 5 % of that reads 5 % too large, which is put right.
    `depth_error_mm` is the standard error of `nearer_mm`; without `camera_mm` the camera is taken to have
    stood at three times the larger of the two lengths, about what fills a phone's picture (common practice,
    no source). Independent errors add in squares and are doubled: Guide to the expression of uncertainty in
    measurement, JCGM 100:2008, sections 5.1.2 and 6.2.
    """
    wanted = {
        "the scale in pixels": scale_px,
        "the scale in mm": scale_mm,
        "the object in pixels": object_px,
    }
    for name, value in wanted.items():
        if not isfinite(value) or value <= 0:
            raise ImagingError(f"A size can't be worked out while {name} is not above 0.")
    errors = (scale_error_mm, tap_px, depth_error_mm, lens_share)
    if not all(isfinite(value) and value >= 0 for value in errors) or not isfinite(nearer_mm):
        raise ImagingError("Errors are given as numbers of 0 or more.")
    read_mm = object_px * scale_mm / scale_px
    camera = 3 * max(read_mm, scale_mm) if camera_mm is None else camera_mm
    if not isfinite(camera) or camera <= abs(nearer_mm):
        raise ImagingError("The camera must have stood further away than the depth between scale and object.")
    mm = read_mm * (camera - nearer_mm) / camera
    ends = sqrt(2) * tap_px
    shares = {
        "scale": scale_error_mm / scale_mm,
        "tap": hypot(ends / scale_px, ends / object_px),
        "depth": depth_error_mm / (camera - nearer_mm),
        "lens": lens_share,
    }
    parts = {name: COVERAGE * mm * share for name, share in shares.items()}
    return Measured(mm, sqrt(sum(part**2 for part in parts.values())), parts)
