"""The layer of growth over a vessel in a picture: how high it stands, its colour, how much it hides."""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats
from .colour import Light
from .noise import blur
from .vessel import Rendered

Grid = Floats


@dataclass(slots=True)
class Crust:
    """Growth on a grid `pad` pixels wider on each side than the vessel's window."""

    pad: int
    scale: float
    """Pixels per mm."""
    normal: Grid
    """Of the glass below, as the eye has it: (3, h, w); right, away, up."""
    shape: Grid
    """1 on the vessel, 0 beside it."""
    height_px: Grid
    colour: Light
    cover: Grid

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the grid."""
        return self.shape.shape[1], self.shape.shape[0]

    def lay(self, height_px: Grid, colour: Light, cover: Grid) -> None:
        """Spread a layer over everything: where it is, it hides what was there and adds its height."""
        self.height_px += height_px * cover
        self.colour += (colour - self.colour) * cover[..., None]
        self.cover += (1 - self.cover) * cover


def bare(vessel: Rendered) -> Crust:
    """A crust with nothing on it yet."""
    pad = int(7 * vessel.pose.px_per_mm)
    window = vessel.window
    normal = vessel.pose.on_screen(vessel.hit.normal)
    edges = ((pad, pad), (pad, pad))
    grids = [np.pad(window.spread(part), edges) for part in normal]
    shape = np.pad(vessel.cover, edges)
    off = shape <= 0
    grids[1][off] = -0.3
    empty = np.zeros_like(shape)
    return Crust(
        pad,
        vessel.pose.px_per_mm,
        np.stack(grids),
        shape,
        empty.copy(),
        np.zeros((*shape.shape, 3), dtype=np.float32),
        empty.copy(),
    )


def lit(crust: Crust, key: tuple[float, float, float], *, sky: float = 0.42, strength: float = 0.95) -> Light:
    """The crust's colours under a lamp from `key` (right, away, up) and a soft sky."""
    slope_right = np.gradient(crust.height_px, axis=1)
    slope_up = -np.gradient(crust.height_px, axis=0)
    right = crust.normal[0] - 1.05 * slope_right
    up = crust.normal[2] - 1.05 * slope_up
    away = crust.normal[1] - 0.12
    length = np.sqrt(right**2 + up**2 + away**2)
    direction = np.array(key, dtype=np.float32)
    direction = direction / np.sqrt((direction**2).sum())
    facing = (right * direction[0] + away * direction[1] + up * direction[2]) / length
    lambert = np.clip(facing * 0.9 + 0.1, 0, 1)
    hollow = blur(crust.height_px, 1.1 * crust.scale) - crust.height_px
    shut_in = np.exp(-np.maximum(hollow, 0) / (0.9 * crust.scale))
    overhead = sky * (0.62 + 0.38 * up / length)
    result: Light = crust.colour * ((strength * lambert + overhead) * (0.35 + 0.65 * shut_in))[..., None]
    return result
