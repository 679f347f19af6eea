"""Sea growth on a vessel: film and silt, pink limy crust, sponge and lace, worms, barnacles.

Where it sits follows how the vessel lay: growth needs open water, what was in the silt stays clean.
"""

import numpy as np

from .arrays import Floats
from .barnacles import leave_scars, settle_barnacles
from .colour import Light, from_hex, mix
from .crust import Crust, bare, lit
from .noise import fractal, smoothstep
from .specs import Lie
from .vessel import Rendered
from .worms import lay_worms

Grid = Floats
KEPT = 0.3
"""Below this share of growth the vessel counts as cleaned with some growth kept."""


def overgrow(
    picture: Light,
    vessel: Rendered,
    lie: Lie,
    amount: float,
    seed: int,
    *,
    key: tuple[float, float, float],
    strength: float = 1.0,
) -> Grid:
    """Paint growth over `picture` in place; returns what the vessel and its growth cover, full size."""
    rng = np.random.default_rng([seed, 29])
    crust = bare(vessel)
    exposed = _exposure(crust, vessel, lie, rng)
    if amount < KEPT:
        _kept(crust, exposed, amount, rng)
    else:
        _film(crust, exposed, amount, rng)
        _limy_crust(crust, exposed, amount, rng)
        _sponge_and_lace(crust, exposed, amount, rng)
        girth = vessel.solid.height_mm * vessel.solid.radius_mm * 2
        lay_worms(crust, exposed * crust.shape, round(amount * girth / 420), rng)
        settle_barnacles(crust, exposed, round(amount * girth / 70), rng)
        _silt(crust, amount, rng)
    return _lay_in(picture, vessel, crust, lit(crust, key, strength=strength))


def _exposure(crust: Crust, vessel: Rendered, lie: Lie, rng: np.random.Generator) -> Grid:
    """0 to 1 on the grid: how open to the water each part of the vessel lay."""
    window = vessel.window
    edges = ((crust.pad, crust.pad), (crust.pad, crust.pad))
    wobble = fractal(rng, crust.size, cell_px=30 * crust.scale, octaves=4) - 0.5
    up = np.pad(window.spread(vessel.hit.front_z / np.float32(vessel.solid.height_mm)), edges)
    side = np.pad(window.spread(vessel.hit.normal[0]), edges)
    if lie == "upright in silt":
        open_water = smoothstep(0.34, 0.47, up + 0.16 * wobble)
    elif lie == "half buried":
        open_water = smoothstep(0.42, -0.1, side + 0.5 * wobble)
    else:
        open_water = np.full_like(up, 0.92)
    return open_water * crust.shape


def _film(crust: Crust, exposed: Grid, amount: float, rng: np.random.Generator) -> None:
    """The green-brown skin over everything that saw light, and mud stain elsewhere."""
    cloud = fractal(rng, crust.size, cell_px=26 * crust.scale, octaves=5, gain=0.62)
    fine = fractal(rng, crust.size, cell_px=3.2 * crust.scale, octaves=3, gain=0.7)
    colour = mix(from_hex("#4b5636"), from_hex("#8d8358"), smoothstep(0.25, 0.75, cloud))
    colour = colour * (0.72 + 0.5 * fine)[..., None]
    cover = np.clip(amount * exposed * (0.30 + 0.75 * cloud), 0, 0.92)
    stain = np.clip(0.30 * amount * crust.shape * (cloud - 0.15), 0, 1) * (1 - exposed)
    crust.lay(0.35 * crust.scale * fine, colour, cover + stain)


def _limy_crust(crust: Crust, exposed: Grid, amount: float, rng: np.random.Generator) -> None:
    """Pink limy crust in plates with paler, raised margins."""
    field = fractal(rng, crust.size, cell_px=21 * crust.scale, octaves=6, gain=0.6)
    bumps = fractal(rng, crust.size, cell_px=3.4 * crust.scale, octaves=3, gain=0.8)
    edge = 0.70 - 0.22 * amount
    plate = smoothstep(edge, edge + 0.035, field) * exposed
    margin = plate * smoothstep(edge + 0.10, edge + 0.03, field)
    colour = mix(from_hex("#7a4a5a"), from_hex("#c4929c"), bumps)
    colour = mix(colour, from_hex("#dfc3c3"), 0.75 * margin)
    crust.lay(0.55 * crust.scale * (0.8 + 0.5 * margin + 0.7 * bumps), colour, 0.95 * plate)


def _sponge_and_lace(crust: Crust, exposed: Grid, amount: float, rng: np.random.Generator) -> None:
    """A patch or two of orange sponge, and white lace of moss animals."""
    field = fractal(rng, crust.size, cell_px=34 * crust.scale, octaves=3, gain=0.5)
    pores = fractal(rng, crust.size, cell_px=1.9 * crust.scale, octaves=2, gain=0.8)
    sponge = smoothstep(0.80, 0.84, field) * exposed * amount
    colour = mix(from_hex("#b5622a"), from_hex("#d9954b"), pores)
    crust.lay(1.0 * crust.scale * (0.7 + 0.6 * pores), colour, 0.92 * sponge)
    lace = smoothstep(0.20, 0.165, field) * exposed * amount
    rows, columns = np.mgrid[0 : crust.size[1], 0 : crust.size[0]].astype(np.float32)
    pitch = 6.0 / crust.scale
    mesh = np.cos(columns * pitch + 3 * pores) * np.cos(rows * pitch + 2 * pores)
    white = np.broadcast_to(from_hex("#e2ded2"), crust.colour.shape)
    crust.lay(0.4 * crust.scale * np.clip(mesh + 0.4, 0, 1), white, lace * np.clip(0.55 + mesh, 0.2, 0.95))


def _silt(crust: Crust, amount: float, rng: np.random.Generator) -> None:
    """Fine mud resting on whatever looks up."""
    slope_up = -np.gradient(crust.height_px, axis=0)
    rest = crust.normal[2] - 0.7 * slope_up
    dust = fractal(rng, crust.size, cell_px=9 * crust.scale, octaves=5, gain=0.7)
    cover = amount * 0.62 * smoothstep(0.15, 0.95, rest + 0.55 * (dust - 0.5)) * crust.shape
    colour = np.broadcast_to(from_hex("#9a9379"), crust.colour.shape)
    crust.lay(np.zeros_like(cover), colour, cover)


def _kept(crust: Crust, exposed: Grid, amount: float, rng: np.random.Generator) -> None:
    """What a careful cleaner leaves: a few barnacles, their scars, a worm or two, a blush of crust."""
    share = amount / 0.15
    if share <= 0:
        return
    field = fractal(rng, crust.size, cell_px=30 * crust.scale, octaves=4)
    _limy_crust(crust, exposed, -0.12, rng)
    patchy = exposed * smoothstep(0.48, 0.62, field)
    leave_scars(crust, patchy, round(26 * share), rng)
    lay_worms(crust, patchy, round(5 * share), rng)
    settle_barnacles(crust, patchy, round(30 * share), rng)


def _lay_in(picture: Light, vessel: Rendered, crust: Crust, light: Light) -> Grid:
    """Set the crust over the picture where the padded window meets it."""
    height, width = picture.shape[:2]
    top, left = vessel.window.top - crust.pad, vessel.window.left - crust.pad
    rows = slice(max(0, top), min(height, top + crust.size[1]))
    columns = slice(max(0, left), min(width, left + crust.size[0]))
    inner = np.s_[rows.start - top : rows.stop - top, columns.start - left : columns.stop - left]
    cover = np.clip(crust.cover, 0, 1)[inner]
    picture[rows, columns] = mix(picture[rows, columns], light[inner], cover)
    covered = np.zeros((height, width), dtype=np.float32)
    covered[rows, columns] = np.maximum(cover, crust.shape[inner])
    return covered
