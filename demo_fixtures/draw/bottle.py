"""A picture of one bottle: on paper or a bench as on the shelf at home, or on the seabed as found."""

import numpy as np
from PIL import Image

from .colour import mix, to_image
from .found import as_found
from .grounds import Scene, bench, paper
from .growth import overgrow
from .lamps import QUAY, STUDIO_BEHIND, STUDIO_SIDE, Room
from .pose import SQUARE, Pose, PutDown
from .shadow import lay_flat_shadow, lay_shadow
from .solid import build_solid
from .specs import Bed, BottleSpec, Ground, LightFrom
from .vessel import render

SIZE = (720, 960)
KEY = (-0.62, -0.5, 0.5)


def draw_bottle(
    spec: BottleSpec,
    *,
    growth: float = 0.0,
    seed: int = 0,
    size: tuple[int, int] = SIZE,
    ground: Ground = "paper",
    light: LightFrom = "behind",
    bed: Bed = "silt",
    put_down: PutDown = SQUARE,
) -> Image.Image:
    """Picture `spec`, as much overgrown as `growth` says (0 none, 0.15 some kept, 1 as the sea left it).

    `bed` is what lies under it on the seabed; `put_down` how it was set before the camera at home. The same
    arguments give the same picture. Raises KeyError for an unknown profile, finish or colour.
    """
    if ground == "seabed":
        return to_image(as_found(spec, growth, seed, size, bed))
    rng = np.random.default_rng([seed, 71])
    behind = light == "behind"
    if ground == "bench":
        wet = growth > 0.3
        scene: Scene = bench(size, behind=behind, wet=wet, rng=rng)
        room: Room = QUAY if wet else (STUDIO_BEHIND if behind else STUDIO_SIDE)
    else:
        scene = paper(size, behind=behind, rng=rng)
        room = STUDIO_BEHIND if behind else STUDIO_SIDE
    pose = standing(spec, size, put_down)
    vessel = render(spec, pose, size, room=room, backdrop=scene.soft, seed=seed)
    picture = scene.light.copy()
    if vessel.solid.profile.stands:
        lay_shadow(picture, vessel, spec.colour, run=(0.5, 0.13) if behind else (0.62, 0.07))
    else:
        lay_flat_shadow(picture, vessel, spec.colour)
    part = vessel.window.part
    picture[part] = mix(picture[part], vessel.light, vessel.cover)
    if growth > 0:
        overgrow(picture, vessel, spec.lie, growth, seed, key=KEY)
    return to_image(picture)


def standing(spec: BottleSpec, size: tuple[int, int], put_down: PutDown = SQUARE) -> Pose:
    """A pose that fills the frame: upright, or lying for what can't stand; moved as `put_down` says."""
    solid = build_solid(spec)
    width, height = size
    if not solid.profile.stands:
        scale = min(0.86 * width / solid.height_mm, 0.5 * height / (2 * solid.radius_mm))
        foot = (width + solid.height_mm * scale) / 2, height * 0.87 - solid.radius_mm * scale
        return put_down.moved(Pose(foot, scale, tilt_deg=0.0, roll_deg=-90))
    # Small vessels stay smaller than big ones, but less so than in life.
    fill = 0.83 * min(1.0, (solid.height_mm / 235.0) ** 0.16)
    scale = min(fill * height / solid.height_mm, 0.70 * width / (2 * solid.radius_mm))
    foot_y = 0.925 * height - 0.35 * (0.83 * height - solid.height_mm * scale)
    return put_down.moved(Pose((width * 0.49, foot_y), scale))
