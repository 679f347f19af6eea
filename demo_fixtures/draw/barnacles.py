"""Barnacles: ribbed little volcanoes in clusters, chalk-white to buff, with a slit in the crater."""

import numpy as np

from .colour import from_hex
from .crust import Crust

CHALKS = ("#f0ebdf", "#e6dcc8", "#d9ccb2", "#e3ddcd", "#cfc1a4", "#e2d3ca")


def settle_barnacles(crust: Crust, weight: np.ndarray, count: int, rng: np.random.Generator) -> None:
    """Set about `count` barnacles where `weight` (grid) lets them sit: in loose clusters, big over small."""
    rows, columns = np.nonzero(weight > 0.02)
    if not len(rows) or count <= 0:
        return
    chance = weight[rows, columns].astype(np.float64)
    chance /= chance.sum()
    hubs = rng.choice(len(rows), size=max(1, count // 9), p=chance)
    radii = np.sort(np.clip(rng.gamma(3.2, 0.85, count), 0.8, 7.5))
    for radius_mm in radii:
        if rng.random() < 0.74:
            hub = hubs[rng.integers(len(hubs))]
            spread = 8.5 * crust.scale
            row = int(rows[hub] + rng.normal(0, spread))
            column = int(columns[hub] + rng.normal(0, spread))
        else:
            pick = rng.choice(len(rows), p=chance) if rng.random() < 0.05 else rng.integers(len(rows))
            row, column = int(rows[pick]), int(columns[pick])
        inside = 0 <= row < weight.shape[0] and 0 <= column < weight.shape[1]
        if inside and weight[row, column] > 0.02 and rng.random() < weight[row, column] + 0.25:
            _set_one(crust, row, column, radius_mm * crust.scale, rng)


def _set_one(crust: Crust, row: int, column: int, radius: float, rng: np.random.Generator) -> None:
    """One barnacle of `radius` pixels, leaning with the glass it sits on."""
    reach = int(radius * 1.9) + 2
    top, left = max(0, row - reach), max(0, column - reach)
    bottom, right = min(crust.shape.shape[0], row + reach), min(crust.shape.shape[1], column + reach)
    y, x = np.mgrid[top:bottom, left:right].astype(np.float32)
    tilt_right, away, tilt_up = crust.normal[:, row, column]
    lean = float(np.hypot(tilt_right, tilt_up))
    out_right, out_down = (tilt_right / lean, -tilt_up / lean) if lean > 1e-3 else (1.0, 0.0)
    facing = max(0.42, float(-away))
    tall = radius * rng.uniform(0.62, 0.95)
    along = (x - column) * out_right + (y - row) * out_down - 0.45 * tall * lean
    beside = (y - row) * out_right - (x - column) * out_down
    along = along / facing
    angle = np.arctan2(beside, along)
    ribs = rng.integers(13, 23)
    start, turn = rng.uniform(0, 6.3), rng.uniform(0, 3.1)
    uneven = (
        0.06 * np.cos(2 * angle + start) + 0.05 * np.cos(3 * angle + 2 * start) + 0.03 * np.cos(5 * angle)
    )
    distance = np.hypot(along, beside) / (radius * (1 + uneven + 0.025 * np.cos(ribs * angle + start)))
    # The mouth is a diamond with round corners, its slit along the longer way.
    crater = rng.uniform(0.33, 0.46) * (1 + 0.16 * np.cos(2 * (angle - turn)))
    cone = np.clip((1 - distance) / (1 - crater), 0, 1) ** 0.85
    cone = cone * (1 + 0.045 * np.cos(ribs * angle + start) + 0.05 * np.cos(6 * angle + 2 * start))
    within = np.clip((crater - distance) / (0.18 * crater), 0, 1)
    slit = np.abs(beside * np.cos(turn) - along * np.sin(turn)) / (radius * crater)
    height = tall * (cone * (1 - within) + within * (0.62 - 0.4 * np.clip(1 - slit / 0.25, 0, 1)))
    cover = np.clip((1 - distance) * radius * 0.6, 0, 1)
    base = crust.height_px[row, column] * 0.5
    patch = np.s_[top:bottom, left:right]
    wins = cover * (height + base + 1.5 > crust.height_px[patch])
    chalk = from_hex(CHALKS[rng.integers(len(CHALKS))]) * rng.uniform(0.82, 1.05)
    stain = from_hex("#7d8466") if rng.random() < 0.3 else from_hex("#a08d74")
    ribbing = 0.5 + 0.5 * np.cos(ribs * angle + start + 3.1)
    share = (np.clip(distance, 0, 1) ** 2 * 0.45 * ribbing)[..., None]
    colour = chalk * (1 - share) + stain * share
    shade = within * (0.42 + 0.5 * np.clip(1 - slit / 0.3, 0, 1))
    colour = colour * (1 - 0.68 * np.clip(shade, 0, 1))[..., None]
    crust.height_px[patch] = np.where(wins > 0.4, height + base, crust.height_px[patch])
    crust.colour[patch] += (colour - crust.colour[patch]) * wins[..., None]
    crust.cover[patch] = np.maximum(crust.cover[patch], wins)


def leave_scars(crust: Crust, weight: np.ndarray, count: int, rng: np.random.Generator) -> None:
    """The pale rings that barnacles leave where they were scraped off."""
    rows, columns = np.nonzero(weight > 0.1)
    for _ in range(count if len(rows) else 0):
        pick = rng.integers(len(rows))
        row, column = int(rows[pick]), int(columns[pick])
        radius = float(np.clip(rng.gamma(3, 0.8), 0.9, 5.0)) * crust.scale
        reach = int(radius * 1.2) + 2
        top, left = max(0, row - reach), max(0, column - reach)
        y, x = np.mgrid[top : min(crust.size[1], row + reach), left : min(crust.size[0], column + reach)]
        facing = max(0.3, float(np.sqrt(max(0.0, 1 - crust.normal[0, row, column] ** 2))))
        distance = np.hypot((x - column) / facing, y - row) / radius
        ring = np.exp(-(((distance - 0.86) / 0.13) ** 2)) * 0.8 + 0.22 * np.clip(1.2 - distance * 1.2, 0, 1)
        ring = (ring * rng.uniform(0.2, 0.75)).astype(np.float32)
        patch = np.s_[top : top + y.shape[0], left : left + y.shape[1]]
        crust.colour[patch] += (from_hex("#dcd8c9") - crust.colour[patch]) * ring[..., None]
        crust.cover[patch] = np.maximum(crust.cover[patch], ring * crust.shape[patch])
