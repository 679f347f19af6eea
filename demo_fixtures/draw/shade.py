"""How glass looks: light bent and swallowed on its way through, and lamps mirrored on the surface.

Bending uses the thin-lens rule, angle = (n - 1) x the slope of the thickness; mirroring uses Schlick's
approximation of Fresnel. Refractive index 1.52, ordinary soda-lime glass (value from memory).
"""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats
from .cast import Cast
from .colour import Light
from .glass import Glass
from .lamps import Room
from .noise import blur, smoothstep
from .pose import Pose, Window

Rays = Floats
INDEX = 1.52


@dataclass(frozen=True, slots=True)
class Surface:
    """What lies on the glass, per ray: relief slopes, enamel, haze and the ripple of old glass."""

    raised_mm: Rays
    slope_x: Rays
    slope_z: Rays
    enamel: Rays
    """Colour, (rays, 3)."""
    cover: Rays
    haze: Rays
    ripple_x: Rays
    ripple_z: Rays


def mirrored(normal: Rays, room: Room, pose: Pose) -> tuple[Rays, Rays]:
    """Light mirrored at surfaces with these normals, and the share of it that is (Schlick)."""
    n = pose.on_screen(normal)
    facing = np.clip(-n[1], 0.0, 1.0)
    share = 0.043 + 0.957 * (1.0 - facing) ** 5
    right, away, up = -2 * n[1] * n[0], 1 - 2 * n[1] * n[1], -2 * n[1] * n[2]
    return room.seen(right, away, up), share


def glass_light(
    hit: Cast, surface: Surface, window: Window, pose: Pose, glass: Glass, room: Room, backdrop: Light
) -> Light:
    """Light that reaches the eye from each ray, (rays, 3)."""
    normal = _bumped(hit, surface)
    gloss, share = mirrored(normal, room, pose)
    share = np.minimum(share, 0.75) * (1 - hit.mouth)
    if glass.body is not None:
        seen = _opaque(normal, glass, room, pose) * (1 - 0.86 * hit.mouth)[:, None]
    else:
        seen = _through(hit, surface, window, pose, glass, room, backdrop, share)
        seen = seen + _inner_gloss(hit, surface, glass, room, pose)
    dull = surface.haze[:, None]
    if surface.haze.any():
        milky = _opaque(normal, Glass("", (0, 0, 0), (0.62, 0.66, 0.62)), room, pose)
        seen = seen * (1 - 0.42 * dull) + milky * 0.42 * dull * np.sqrt(glass.through(hit.path_mm * 0.5))
    if surface.cover.any():
        paint = _opaque(normal, Glass("", (0, 0, 0), (1, 1, 1)), room, pose) * surface.enamel
        seen = seen + (paint - seen) * surface.cover[:, None]
    return seen * (1 - share[:, None]) + gloss * (share * (1 - 0.72 * surface.haze))[:, None]


def _bumped(hit: Cast, surface: Surface) -> Rays:
    """The surface's normals with relief and ripple."""
    normal = hit.normal.copy()
    # Across means along the girth: its direction at the front is (-ny, nx).
    lean = surface.slope_x + surface.ripple_x
    normal[0] += normal[1] * lean
    normal[1] -= hit.normal[0] * lean
    normal[2] -= surface.slope_z + surface.ripple_z
    result: Rays = normal / np.sqrt((normal**2).sum(axis=0))
    return result


def _through(
    hit: Cast,
    surface: Surface,
    window: Window,
    pose: Pose,
    glass: Glass,
    room: Room,
    backdrop: Light,
    share: Rays,
) -> Light:
    """The ground behind, bent and tinted by the glass."""
    path = hit.path_mm + surface.raised_mm
    grid = blur(window.spread(path), 1.0)
    scale = pose.px_per_mm
    bend_down = np.arctan((INDEX - 1) * np.gradient(grid, axis=0) * scale)[window.rows, window.columns]
    bend_right = np.arctan((INDEX - 1) * np.gradient(grid, axis=1) * scale)[window.rows, window.columns]
    bend_right = bend_right + 0.35 * surface.ripple_x
    bend_down = bend_down + 0.35 * surface.ripple_z
    bent = np.degrees(np.hypot(bend_right, bend_down))
    downward = bend_down / np.maximum(np.hypot(bend_right, bend_down), 1e-6)
    throw = 46.0 * scale
    column = window.columns + window.left + np.clip(bend_right, -0.7, 0.7) * throw
    row = window.rows + window.top + np.clip(bend_down, -0.7, 0.7) * throw
    behind = backdrop[
        np.clip(row, 0, backdrop.shape[0] - 1).astype(np.int32),
        np.clip(column, 0, backdrop.shape[1] - 1).astype(np.int32),
    ]
    # Softened a little: the edge of the hollow turns over within a pixel and would sparkle.
    away = blur(window.spread(smoothstep(13.0, 44.0, bent), 1.0), 0.7)[window.rows, window.columns][:, None]
    light = behind * room.behind * (1 - away) + room.aside(bent, downward) * away
    # Relief catches the light on one flank and loses it on the other.
    flank = np.tanh(3.4 * (surface.slope_z * 0.8 - surface.slope_x * 0.6))
    steep = np.clip(np.sqrt(surface.slope_x**2 + surface.slope_z**2), 0, 1.2)
    light = light * ((1.0 + 0.44 * flank) * (1.0 - 0.36 * steep))[:, None]
    light = light * glass.through(path) * (0.94 * (1 - share))[:, None]
    # Light caught inside thick glass comes out coloured: the glow of a heavy base.
    caught = 1.0 - np.exp(-np.maximum(path - 6.0, 0) / 16.0)
    glow = glass.through(np.minimum(path, 30.0) * 0.55) * caught[:, None]
    result: Light = light + glow * (0.16 + 0.10 * away) * _mean_of(backdrop)
    return result


def _mean_of(backdrop: Light) -> Light:
    result: Light = backdrop[::16, ::16].reshape(-1, 3).mean(axis=0)
    return result


def _inner_gloss(hit: Cast, surface: Surface, glass: Glass, room: Room, pose: Pose) -> Light:
    """Lamps mirrored by the inside of the front wall and, hollow as a spoon, by the far wall."""
    depth = np.maximum(np.sqrt(hit.x**2 + hit.front_y**2), 1.0)
    inner = hit.normal.copy()
    inner[0] = np.clip(inner[0] * 1.13, -0.98, 0.98)
    inner[2] = inner[2] * 0.9 + 0.5 * surface.ripple_z
    inner = inner / np.sqrt((inner**2).sum(axis=0))
    near, near_share = mirrored(inner, room, pose)
    far_normal = np.stack(
        [-hit.x / depth * 1.1 + surface.ripple_x, -np.abs(hit.back_y) / depth, 0.6 * hit.normal[2]]
    )
    far_normal = far_normal / np.maximum(np.sqrt((far_normal**2).sum(axis=0)), 1e-6)
    far, far_share = mirrored(far_normal, room, pose)
    half = glass.through(hit.path_mm * 0.55)
    near_light = near * (np.minimum(near_share, 0.2) * 0.55 * hit.hollow)[:, None] * half
    far_light = far * (np.minimum(far_share, 0.2) * 0.5 * hit.hollow)[:, None] * half * half
    return near_light + far_light


def _opaque(normal: Rays, glass: Glass, room: Room, pose: Pose) -> Light:
    """A matt body in the same light: sky from above, the key lamp from its side."""
    n = pose.on_screen(normal)
    key = np.array([-0.62 - 0.12 * room.grade, -0.55 + 0.15 * room.grade, 0.5], dtype=np.float32)
    key = key / np.sqrt((key**2).sum())
    lambert = np.clip(n[0] * key[0] + n[1] * key[1] + n[2] * key[2] + 0.22, 0, 1.22) / 1.22
    sky = 0.5 + 0.5 * n[2]
    fill = 0.5 - 0.5 * n[1]
    amount = 0.72 * lambert + 0.16 * sky + 0.20 * fill
    result: Light = amount[:, None] * np.asarray(glass.body, dtype=np.float32)
    return result
