"""A bottle as a diver finds it: stuck, sunk or lying in the silt, with what has grown on it."""

import numpy as np

from .colour import Light, mix
from .growth import overgrow
from .lamps import UNDER_WATER
from .noise import blur, fractal, smoothstep
from .pose import Pose
from .seabed import drift, seabed
from .solid import build_solid
from .specs import BottleSpec
from .vessel import render

KEY = (-0.45, -0.5, 0.78)


def as_found(spec: BottleSpec, growth: float, seed: int, size: tuple[int, int]) -> Light:
    """The find on the seabed, lying as `spec.lie` says."""
    rng = np.random.default_rng([seed, 113])
    scene = seabed(size, rng=rng)
    pose, silt_y = _lying(spec, size, rng)
    vessel = render(spec, pose, size, room=UNDER_WATER, backdrop=scene.soft, seed=seed)
    above = scene.light.copy()
    part = vessel.window.part
    above[part] = mix(above[part], vessel.light, vessel.cover)
    covered = overgrow(above, vessel, spec.lie, growth, seed, key=KEY, strength=1.25)
    line = silt_y + pose.px_per_mm * 9 * (fractal(rng, (size[0], 2), cell_px=90, octaves=4)[0] - 0.5)
    rows = np.arange(size[1], dtype=np.float32)[:, None]
    if spec.lie == "upright in silt":
        # The silt's edge runs round the glass, so the eye sees it lower in front.
        apart = (np.arange(size[0]) - pose.foot[0]) / pose.px_per_mm
        apart = apart - np.tan(np.radians(pose.roll_deg)) * (pose.foot[1] - silt_y) / pose.px_per_mm
        front = np.sqrt(np.clip(vessel.solid.radius_mm**2 - apart**2, 0, None))
        line = line + (front * np.sin(np.radians(pose.tilt_deg)) * pose.px_per_mm).astype(np.float32)
    below = smoothstep(-2.5, 3.0, rows - line[None, :])
    shown = np.clip(covered, 0, 1) * (1 - below)
    ground = scene.light * (1 - _shade(covered * (1 - below), pose))[..., None]
    # Silt banked up against the glass, a little lighter at its crest.
    bank = np.exp(-(((rows - line[None, :] - 4) / (2.2 * pose.px_per_mm)) ** 2)) * blur(
        covered, 5 * pose.px_per_mm
    )
    ground = ground * (1 + 0.28 * bank * below)[..., None]
    picture = mix(ground, above, shown)
    dusted = smoothstep(-9 * pose.px_per_mm, 0, rows - line[None, :]) * shown * 0.45
    picture = mix(picture, scene.soft * 0.8, dusted)
    return drift(picture, rng)


def _shade(covered: Light, pose: Pose) -> Light:
    """Shadow thrown to the lower right, and the gloom close around."""
    by = int(5 * pose.px_per_mm)
    thrown = np.roll(blur(covered, 4 * pose.px_per_mm), (by // 2, by), axis=(0, 1))
    return np.clip(0.52 * thrown + 0.22 * blur(covered, 2 * pose.px_per_mm), 0, 0.8)


def _lying(spec: BottleSpec, size: tuple[int, int], rng: np.random.Generator) -> tuple[Pose, float]:
    """Pose of the find, and the picture row at which the silt meets it."""
    width, height = size
    solid = build_solid(spec)
    if spec.lie == "upright in silt":
        lean = float(rng.choice([-1, 1]) * rng.uniform(5, 15))
        scale = min(0.94 * height / solid.height_mm, 0.62 * width / (2 * solid.radius_mm))
        scale *= min(1.0, (solid.height_mm / 235.0) ** 0.16)
        foot_y = 0.07 * height + solid.height_mm * scale * 0.985
        foot_x = width / 2 - np.sin(np.radians(lean)) * solid.height_mm * scale * 0.62
        return Pose((float(foot_x), foot_y), scale, 11.0, lean), foot_y - 0.26 * solid.height_mm * scale
    lean = float(rng.uniform(58, 70) if spec.lie == "half buried" else rng.uniform(70, 82))
    away = np.sin(np.radians(lean)), np.cos(np.radians(lean))
    scale = min(
        0.84 * width / (solid.height_mm * away[0] + 2 * solid.radius_mm * away[1]),
        0.40 * height / (2 * solid.radius_mm),
    )
    run = solid.height_mm * scale
    foot = (width / 2 - run * away[0] / 2, height * 0.60 + run * away[1] / 2)
    lowest = foot[1] + solid.radius_mm * scale * away[0]
    sunk = 0.98 if spec.lie == "half buried" else 0.30
    return Pose(foot, scale, -14.0, lean), float(lowest - sunk * solid.radius_mm * scale)
