"""From a profile to tables of the vessel's outer and inner surface, a row every quarter millimetre."""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats
from .finishes import FINISHES
from .profiles import PROFILES, Profile
from .specs import BottleSpec

Table = Floats
STEP_MM = 0.25


@dataclass(frozen=True, slots=True)
class Solid:
    """A vessel in mm. Tables over height hold half width, half depth, corner radius; outside and inside."""

    profile: Profile
    height_mm: float
    radius_mm: float
    outer: Table
    """Half width, half depth, corner radius; shape (3, rows)."""
    inner: Table
    foot_mm: float
    kick_mm: float
    marble_mm: tuple[float, float] | None
    """Height of the marble's middle and its radius."""

    @property
    def round(self) -> bool:
        """Whether every section is a circle (which is much quicker to draw)."""
        return self.profile.corner >= 1.0 and self.profile.depth >= 1.0

    @property
    def depth_mm(self) -> float:
        """Greatest half depth, front to back."""
        return float(self.outer[1].max())

    @property
    def reach_mm(self) -> float:
        """How far the vessel reaches from its axis, corners included."""
        return self.radius_mm * (1.36 if self.profile.turn_deg else 1.0)


def build_solid(spec: BottleSpec) -> Solid:
    """The surfaces of `spec`. Raises KeyError for a profile or finish that is not known."""
    profile = PROFILES[spec.profile]
    finish = FINISHES[spec.finish or profile.finish]
    radius = spec.diameter_mm / 2.0
    # Small vessels have small lips: a finish is drawn for a vessel about 60 mm across.
    lip_scale = float(np.clip(spec.diameter_mm / 62.0, 0.35, 1.1))
    lip_mm = finish[-1][0] * lip_scale
    neck_mm = spec.height_mm - lip_mm
    rows = round(spec.height_mm / STEP_MM) + 1
    heights = np.arange(rows) * STEP_MM
    shares, radii = np.array(profile.points).T
    outline = _flowing(heights / neck_mm, shares, radii * radius)
    outline = _soften(outline, 2.4)
    lip_heights, lip_adds = np.array(finish).T
    lip = radii[-1] * radius + np.interp(heights - neck_mm, lip_heights * lip_scale, lip_adds * lip_scale)
    outline = np.where(heights >= neck_mm, lip, outline)
    outline = _soften(outline, 1.5 if radius > 20 else 0.9)
    outer = _sections(outline, heights / spec.height_mm, profile)
    wall = (
        spec.wall_mm
        * np.clip(radius / 31.0, 0.45, 1.1)
        * _thickening(heights / spec.height_mm, outline / radius)
    )
    bore = np.where(heights >= neck_mm, np.min(outline[heights >= neck_mm * 0.93]), outline)
    bored = np.maximum(bore - wall, 1.5)
    foot = profile.foot_mm * float(np.clip(radius / 31.0, 0.4, 1.2))
    # Inside, the floor meets the wall in a wide curve: that is where old glass is thickest.
    fillet = radius * 0.34
    near_floor = np.clip((heights - foot) / fillet, 0.0, 1.0)
    bored = bored - fillet * 0.8 * (1.0 - np.sqrt(1.0 - (1.0 - near_floor) ** 2))
    inner = _sections(_soften(np.maximum(bored, 1.0), 2.0), heights / spec.height_mm, profile, outer)
    marble = None
    if profile.marble:
        at = 0.815 * neck_mm
        marble = (float(at - radius * 0.12), float(np.interp(at, heights, bored)) * 0.86)
    return Solid(
        profile,
        spec.height_mm,
        radius,
        outer.astype(np.float32),
        inner.astype(np.float32),
        foot,
        profile.kick_mm,
        marble,
    )


def _sections(outline: Table, share: Table, profile: Profile, shell: Table | None = None) -> Table:
    """Half width, half depth and corner radius at each height; sections grow round above `square_to`."""
    top = profile.square_to
    fade = 1.0 if top == 0 else np.clip((share - top + 0.04) / 0.08, 0.0, 1.0)
    fade = fade * fade * (3 - 2 * fade)
    depth = profile.depth + (1.0 - profile.depth) * fade
    half_depth = outline * depth
    if shell is not None:
        # The wall is as thick at the flat as at the narrow side.
        half_depth = np.maximum(shell[1] - (shell[0] - outline), 1.0)
    corner = profile.corner + (1.0 - profile.corner) * fade
    return np.stack([outline, half_depth, np.minimum(outline, half_depth) * corner])


def _thickening(share: Table, narrowness: Table) -> Table:
    """How much thicker the wall is than its middle: heavy at the heel, some in the shoulder."""
    heel = 0.55 * np.exp(-((share / 0.07) ** 2))
    shoulder = 0.38 * np.exp(-(((narrowness - 0.72) / 0.17) ** 2))
    result: Table = 1.0 + heel + shoulder
    return result


def _soften(table: Table, radius_mm: float) -> Table:
    """Round off corners along the height, as fire-polished glass is round."""
    reach = int(3 * radius_mm / STEP_MM)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * STEP_MM / radius_mm) ** 2)
    padded = np.concatenate([np.full(reach, table[0]), table, np.full(reach, table[-1])])
    return np.convolve(padded, kernel / kernel.sum(), mode="valid")


def _flowing(at: Table, x: Table, y: Table) -> Table:
    """A curve through the points that never swings past them (Fritsch and Carlson's monotone cubic)."""
    step = np.diff(x)
    slope = np.diff(y) / step
    tangent = np.concatenate([[slope[0]], np.zeros(len(x) - 2), [slope[-1]]])
    same = slope[:-1] * slope[1:] > 0
    before, after = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (before + after) / (before / slope[:-1] + after / slope[1:])
    tangent[1:-1] = np.where(same, mean, 0.0)
    index = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(step) - 1)
    t = np.clip((at - x[index]) / step[index], 0.0, 1.0)
    left, right = tangent[index] * step[index], tangent[index + 1] * step[index]
    low, high = y[index], y[index + 1]
    return (
        low
        + t * left
        + t * t * (3 * (high - low) - 2 * left - right)
        + t**3 * (left + right - 2 * (high - low))
    )
