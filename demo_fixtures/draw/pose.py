"""Where a vessel stands in a picture, and which rays have to be cast for it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .arrays import Floats
from .solid import Solid

Rays = Floats


@dataclass(frozen=True, slots=True)
class Pose:
    """The foot's middle in pixels, scale, how far the eye looks down, and how far the vessel leans right."""

    foot: tuple[float, float]
    px_per_mm: float
    tilt_deg: float = 9.0
    roll_deg: float = 0.0

    def to_vessel(self, column: Rays, row: Rays) -> tuple[Rays, Rays]:
        """Pixel to mm across and up along the vessel."""
        roll = np.radians(self.roll_deg)
        right = (column - self.foot[0]) / self.px_per_mm
        up = (self.foot[1] - row) / self.px_per_mm
        across = right * np.cos(roll) - up * np.sin(roll)
        along = right * np.sin(roll) + up * np.cos(roll)
        return across.astype(np.float32), along.astype(np.float32)

    def to_pixel(self, across: Rays, along: Rays) -> tuple[Rays, Rays]:
        """The inverse of `to_vessel`."""
        roll = np.radians(self.roll_deg)
        right = across * np.cos(roll) + along * np.sin(roll)
        up = -across * np.sin(roll) + along * np.cos(roll)
        return self.foot[0] + right * self.px_per_mm, self.foot[1] - up * self.px_per_mm

    def on_screen(self, vector: Rays) -> Rays:
        """Turn directions (3, rays) from the vessel's axes to right, away, up as the eye has them."""
        tilt, roll = np.radians(self.tilt_deg), np.radians(self.roll_deg)
        x, y, z = vector
        up = z * np.cos(tilt) + y * np.sin(tilt)
        away = y * np.cos(tilt) - z * np.sin(tilt)
        right = x * np.cos(roll) + up * np.sin(roll)
        up = -x * np.sin(roll) + up * np.cos(roll)
        return np.stack([right, away, up]).astype(np.float32)


@dataclass(frozen=True, slots=True)
class PutDown:
    """How far a vessel stands from where it stood last time before the same camera."""

    right_px: float = 0.0
    down_px: float = 0.0
    nearer: float = 1.0
    """Its size in the picture against last time's."""
    lean_deg: float = 0.0

    def moved(self, pose: Pose) -> Pose:
        """That pose, moved."""
        foot = pose.foot[0] + self.right_px, pose.foot[1] + self.down_px
        return replace(
            pose, foot=foot, px_per_mm=pose.px_per_mm * self.nearer, roll_deg=pose.roll_deg + self.lean_deg
        )


SQUARE = PutDown()


@dataclass(frozen=True, slots=True)
class Window:
    """The part of a picture a vessel covers, and the pixels in it whose rays can meet it."""

    left: int
    top: int
    width: int
    height: int
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    across: Rays
    along: Rays
    widest: Rays
    """The most the vessel can reach from its axis where the ray passes, mm."""

    @property
    def part(self) -> tuple[slice, slice]:
        """The window as a slice of the picture."""
        return slice(self.top, self.top + self.height), slice(self.left, self.left + self.width)

    def spread(self, values: Rays, fill: float = 0.0) -> Rays:
        """Values per ray set back on the window's grid."""
        grid = np.full((self.height, self.width, *values.shape[1:]), fill, dtype=np.float32)
        grid[self.rows, self.columns] = values
        return grid


def window_of(solid: Solid, pose: Pose, size: tuple[int, int]) -> Window:
    """Find the window; raises ValueError if the vessel lies wholly outside the picture."""
    tilt = np.radians(pose.tilt_deg)
    droop = solid.radius_mm * abs(float(np.sin(tilt))) + 2
    top = solid.height_mm * float(np.cos(tilt)) + droop
    half = solid.reach_mm + 2
    corners = [(-half, -droop), (half, -droop), (-half, top), (half, top)]
    columns, rows = pose.to_pixel(*np.array(corners, dtype=np.float32).T)
    left, right = max(0, int(columns.min())), min(size[0], int(columns.max()) + 2)
    upper, lower = max(0, int(rows.min())), min(size[1], int(rows.max()) + 2)
    if left >= right or upper >= lower:
        raise ValueError("the vessel lies outside the picture")
    grid_rows, grid_columns = np.mgrid[upper:lower, left:right].astype(np.float32)
    across, along = pose.to_vessel(grid_columns + 0.5, grid_rows + 0.5)
    widest = _widest(solid, along, tilt, droop)
    keep = np.abs(across) <= widest + 1.5
    keep &= (along > -droop) & (along < top)
    kept_rows, kept_columns = np.nonzero(keep)
    return Window(
        left,
        upper,
        right - left,
        lower - upper,
        kept_rows,
        kept_columns,
        across[keep],
        along[keep],
        widest[keep],
    )


def _widest(solid: Solid, along: Rays, tilt: float, droop: float) -> Rays:
    """An upper bound of the half width a ray at this height can meet."""
    table = np.maximum(solid.outer[0], solid.outer[1]) if solid.profile.turn_deg else solid.outer[0]
    if solid.profile.turn_deg:
        table = table * np.float32(1.42)
    reach = int(droop / 0.25)
    padded = np.pad(table, reach, mode="edge")
    spans = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1).max(axis=1)
    index = np.clip(along / np.cos(tilt) / 0.25, 0, len(spans) - 1).astype(np.int32)
    result: Rays = spans[index]
    return result
