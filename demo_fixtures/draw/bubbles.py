"""Seed bubbles: small, drawn long by the blower, each a dark rim around a bright speck."""

import numpy as np

from .colour import Light
from .pose import Pose, Window
from .solid import Solid
from .specs import BottleSpec


def add_bubbles(
    grid: Light, spec: BottleSpec, solid: Solid, window: Window, pose: Pose, rng: np.random.Generator
) -> None:
    """Sink `spec.bubbles` bubbles into the light of a window, in place."""
    for _ in range(spec.bubbles):
        share = rng.uniform(0.04, 0.9)
        half = float(
            np.interp(share * solid.height_mm, np.arange(solid.outer.shape[1]) * 0.25, solid.outer[0])
        )
        across, along = rng.uniform(-0.82, 0.82) * half, share * solid.height_mm
        wide = rng.uniform(0.22, 0.55) * (1.8 if rng.random() < 0.12 else 1.0)
        long = wide * rng.uniform(1.2, 2.6)
        column, row = pose.to_pixel(np.asarray(across, np.float32), np.asarray(along, np.float32))
        _stamp(grid, float(column) - window.left, float(row) - window.top, wide, long, pose)


def _stamp(grid: Light, column: float, row: float, wide_mm: float, long_mm: float, pose: Pose) -> None:
    """One bubble."""
    reach = int(long_mm * pose.px_per_mm * 1.4) + 2
    left, top = int(column) - reach, int(row) - reach
    right, bottom = left + 2 * reach + 1, top + 2 * reach + 1
    if left < 0 or top < 0 or right > grid.shape[1] or bottom > grid.shape[0]:
        return
    y, x = np.mgrid[top:bottom, left:right].astype(np.float32)
    roll = np.radians(pose.roll_deg)
    dx, dy = (x - column) / pose.px_per_mm, (row - y) / pose.px_per_mm
    u = (dx * np.cos(roll) - dy * np.sin(roll)) / wide_mm
    v = (dx * np.sin(roll) + dy * np.cos(roll)) / long_mm
    distance = np.sqrt(u * u + v * v)
    edge = 0.35 / (wide_mm * pose.px_per_mm)
    rim = np.exp(-(((distance - 0.82) / (0.2 + edge)) ** 2))
    speck = np.exp(-((u + 0.3) ** 2 + (v - 0.35) ** 2) / 0.09)
    patch = grid[top:bottom, left:right]
    patch *= (1 - 0.42 * rim)[..., None]
    patch += (0.42 * speck)[..., None]
