"""A bottle as a diver finds it: stuck, sunk or lying in the silt, with what has grown on it."""

import numpy as np

from .colour import Light, mix
from .growth import overgrow
from .lamps import UNDER_WATER
from .noise import blur, fractal, smoothstep
from .pose import Pose
from .seabed import drift, seabed
from .solid import build_solid
from .specs import Bed, BottleSpec
from .vessel import Rendered, render

KEY = (-0.45, -0.5, 0.78)


def as_found(spec: BottleSpec, growth: float, seed: int, size: tuple[int, int], bed: Bed = "silt") -> Light:
    """The find on that kind of bed, lying as `spec.lie` says."""
    rng = np.random.default_rng([seed, 113])
    scene = seabed(size, rng=rng, bed=bed)
    pose, silt_y = _lying(spec, size, rng)
    vessel = render(spec, pose, size, room=UNDER_WATER, backdrop=scene.soft, seed=seed)
    above = scene.light.copy()
    part = vessel.window.part
    above[part] = mix(above[part], vessel.light, vessel.cover)
    covered = overgrow(above, vessel, spec.lie, growth, seed, key=KEY, strength=1.25)
    line = _silt_line(spec, vessel, silt_y, size, rng)
    rows = np.arange(size[1], dtype=np.float32)[:, None]
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
    return drift(picture, rng, bed=bed)


def _silt_line(
    spec: BottleSpec, vessel: Rendered, silt_y: float, size: tuple[int, int], rng: np.random.Generator
) -> Light:
    """For every column the picture row below which silt hides the vessel."""
    pose = vessel.pose
    line = silt_y + pose.px_per_mm * 9 * (fractal(rng, (size[0], 2), cell_px=90, octaves=4)[0] - 0.5)
    columns = np.arange(size[0], dtype=np.float32) - np.float32(pose.foot[0])
    roll, tilt = np.radians(pose.roll_deg), np.radians(pose.tilt_deg)
    if spec.lie == "upright in silt":
        # The silt's edge runs round the glass, so the eye sees it lower in front.
        apart = (columns - np.tan(roll) * (pose.foot[1] - silt_y)) / pose.px_per_mm
        front = np.sqrt(np.clip(vessel.solid.radius_mm**2 - apart**2, 0, None))
        edge: Light = (line + front * np.sin(tilt) * pose.px_per_mm).astype(np.float32)
    else:
        # A bottle on its side touches the bed all along its length.
        edge = (line - columns / np.tan(roll)).astype(np.float32)
    return edge


def _shade(covered: Light, pose: Pose) -> Light:
    """Shadow thrown to the lower right, and the gloom close around."""
    by = int(4 * pose.px_per_mm)
    thrown = np.roll(blur(covered, 4 * pose.px_per_mm), (by // 2, by), axis=(0, 1))
    return np.clip(0.72 * thrown + 0.34 * blur(covered, 2.5 * pose.px_per_mm), 0, 0.82)


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
    lean = float(rng.uniform(46, 64))
    right, up = np.sin(np.radians(lean)), np.cos(np.radians(lean))
    long, wide = solid.height_mm, 2 * solid.radius_mm
    scale = min(0.86 * width / (long * right + wide * up), 0.40 * height / wide)
    run = long * scale
    foot = (float(width / 2 - run * right / 2), float(height * 0.58 + run * up / 2))
    sunk = 0.66 if spec.lie == "half buried" else 0.36
    return Pose(foot, scale, -14.0, lean), float(foot[1] + (1 - sunk) * solid.radius_mm * scale / right)
