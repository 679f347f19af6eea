"""One vessel rendered over a ground: cast, dressed with its relief and label, shaded, laid in."""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats
from .bubbles import add_bubbles
from .cast import Cast, cast
from .colour import Light
from .glass import GLASSES
from .label import fired
from .lamps import Room
from .noise import fractal
from .pose import Pose, Window, window_of
from .relief import raised, sheet_of
from .shade import Surface, glass_light
from .solid import Solid, build_solid
from .specs import BottleSpec

Rays = Floats


@dataclass(frozen=True, slots=True)
class Rendered:
    """A vessel in its window: light (h, w, 3), how much of each pixel it covers, and the geometry behind."""

    solid: Solid
    pose: Pose
    window: Window
    hit: Cast
    light: Light
    cover: Rays


def render(
    spec: BottleSpec, pose: Pose, size: tuple[int, int], *, room: Room, backdrop: Light, seed: int
) -> Rendered:
    """Draw `spec` as it stands in `pose` before `backdrop` (light, full size of the picture)."""
    rng = np.random.default_rng(seed)
    solid = build_solid(spec)
    window = window_of(solid, pose, size)
    hit = cast(solid, window.across, window.along, window.widest, tilt_deg=pose.tilt_deg)
    surface = _dress(spec, solid, hit, pose, rng)
    light = glass_light(hit, surface, window, pose, GLASSES[spec.colour], room, backdrop)
    grid = window.spread(light)
    cover = window.spread(np.clip(hit.inside_mm * pose.px_per_mm + 0.5, 0, 1))
    if GLASSES[spec.colour].body is None and spec.bubbles:
        add_bubbles(grid, spec, solid, window, pose, rng)
    return Rendered(solid, pose, window, hit, grid, cover)


def across_of(solid: Solid, hit: Cast) -> Rays:
    """How far along the front's girth, in mm, each ray meets the vessel: the column of its sheet."""
    if solid.round:
        return (np.arctan2(hit.x, -hit.front_y) * solid.radius_mm).astype(np.float32)
    turn = np.radians(solid.profile.turn_deg)
    face = hit.x * np.cos(turn) + hit.front_y * np.sin(turn)
    away = hit.front_y * np.cos(turn) - hit.x * np.sin(turn)
    on_face = away <= -0.6 * solid.outer[1].max()
    return np.where(on_face, face, 1e3).astype(np.float32)


def _dress(spec: BottleSpec, solid: Solid, hit: Cast, pose: Pose, rng: np.random.Generator) -> Surface:
    """Relief, label, haze and ripple at the points the rays meet."""
    sheet = sheet_of(solid, min(4.0, max(1.6, pose.px_per_mm)))
    across, up = across_of(solid, hit), hit.front_z
    none = np.zeros_like(up)
    height, slope_x, slope_z = none, none, none
    relief = raised(spec, solid, sheet)
    if relief is not None:
        steep_x = np.gradient(relief, axis=1) * sheet.px_per_mm
        steep_z = -np.gradient(relief, axis=0) * sheet.px_per_mm
        height = sheet.sample(relief, across, up)
        slope_x, slope_z = sheet.sample(steep_x, across, up), sheet.sample(steep_z, across, up)
    enamel, cover = np.zeros((len(up), 3), dtype=np.float32), none
    if spec.label is not None:
        colours, opacity = fired(spec.label, solid, sheet, rng)
        enamel, cover = sheet.sample(colours, across, up), sheet.sample(opacity, across, up)
    haze = none
    if spec.haze:
        patches = fractal(rng, sheet.size, cell_px=24 * sheet.px_per_mm, octaves=5)
        haze = np.clip(spec.haze * (0.45 + 1.1 * sheet.sample(patches, across, up)), 0, 1)
    wave = fractal(rng, sheet.size, cell_px=19 * sheet.px_per_mm, octaves=2, gain=0.4) * 1.5
    ripple_x = sheet.sample(np.gradient(wave, axis=1) * sheet.px_per_mm, across, up)
    ripple_z = sheet.sample(-np.gradient(wave, axis=0) * sheet.px_per_mm, across, up)
    return Surface(height, slope_x, slope_z, enamel, cover, haze, ripple_x, ripple_z)
