"""A fired label unrolled: coloured enamel, its wording, and what the sea has worn away."""

import numpy as np
from PIL import Image, ImageDraw

from .arrays import Floats
from .colour import from_hex
from .lettering import width_of, word
from .noise import fractal, smoothstep
from .relief import Sheet
from .solid import Solid
from .specs import FiredLabel

Map = Floats


def fired(label: FiredLabel, solid: Solid, sheet: Sheet, rng: np.random.Generator) -> tuple[Map, Map]:
    """Colour (height, width, 3; light) and opacity (height, width) of the label on the sheet."""
    panel, letters = _masks(label, solid, sheet)
    colour = from_hex(label.ground) + (from_hex(label.ink) - from_hex(label.ground)) * letters[..., None]
    opacity = np.maximum(panel, letters)
    wear = fractal(rng, sheet.size, cell_px=9 * sheet.px_per_mm, octaves=5, gain=0.62)
    if label.state == "bright":
        opacity = opacity * (0.97 * smoothstep(0.10, 0.17, wear))
    elif label.state == "worn":
        opacity = opacity * smoothstep(0.40, 0.50, wear) * 0.93
    else:
        # A ghost: the colour is gone, a dull print of it stays; letters read a little clearer.
        opacity = (0.17 * panel + 0.20 * letters) * (0.55 + 0.45 * smoothstep(0.3, 0.7, wear))
        colour = np.broadcast_to(from_hex("#e9ece2"), colour.shape)
    return colour.astype(np.float32), opacity.astype(np.float32)


def _masks(label: FiredLabel, solid: Solid, sheet: Sheet) -> tuple[Map, Map]:
    """Where the ground colour lies and where the ink: a plain band with a rule along either edge."""
    panel, ink = Image.new("L", sheet.size, 0), Image.new("L", sheet.size, 0)
    low, high = label.from_height * solid.height_mm, label.to_height * solid.height_mm
    half = solid.radius_mm * (1.12 if solid.round else 0.74)
    scale = sheet.px_per_mm
    left, top = sheet.place(-half, high)
    right, bottom = sheet.place(half, low)
    ImageDraw.Draw(panel).rectangle((left, top, right, bottom), fill=255)
    rule, inset = max(1, round(0.8 * scale)), 2.0 * scale
    for y in (top + inset, bottom - inset - rule):
        ImageDraw.Draw(ink).rectangle((left, y, right, y + rule), fill=255)
    rows = len(label.lines)
    for number, text in enumerate(label.lines):
        # The first line is the big one.
        share = (bottom - top) / (rows + 0.9)
        size = share * (0.62 if number == 0 else 0.42)
        size = size * min(1.0, (right - left) * 0.80 / width_of(text, max(4, round(size))))
        y = top + share * (0.95 + number * (rows - 0.1) / max(1, rows - 0.35))
        word(ink, text, ((left + right) / 2, y), max(4, round(size)), stroke_px=1 if number == 0 else 0)
    return np.asarray(panel, dtype=np.float32) / 255.0, np.asarray(ink, dtype=np.float32) / 255.0
