"""What stands proud of a vessel's front: lettering, plate ring, ribs; unrolled, in mm."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from .arrays import Floats
from .lettering import width_of, word
from .noise import blur
from .solid import Solid
from .specs import BottleSpec, Line

Map = Floats
LETTER_MM = 0.72


@dataclass(frozen=True, slots=True)
class Sheet:
    """The front half of a vessel unrolled: `px_per_mm`, and how wide and tall it is in mm."""

    px_per_mm: float
    width_mm: float
    height_mm: float

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return round(self.width_mm * self.px_per_mm), round(self.height_mm * self.px_per_mm)

    def place(self, across_mm: float, up_mm: float) -> tuple[float, float]:
        """Pixel of a point so many mm right of the front's middle and above the foot."""
        return (across_mm + self.width_mm / 2) * self.px_per_mm, (self.height_mm - up_mm) * self.px_per_mm

    def sample(self, table: Map, across_mm: Map, up_mm: Map) -> Map:
        """Values of `table` at points of the sheet, between its pixels by shares."""
        height, width = table.shape[:2]
        column = np.clip((across_mm + self.width_mm / 2) * self.px_per_mm - 0.5, 0, width - 1.001)
        row = np.clip((self.height_mm - up_mm) * self.px_per_mm - 0.5, 0, height - 1.001)
        left, top = column.astype(np.int32), row.astype(np.int32)
        along, down = column - left, row - top
        if table.ndim == 3:
            along, down = along[:, None], down[:, None]
        upper = table[top, left] * (1 - along) + table[top, left + 1] * along
        lower = table[top + 1, left] * (1 - along) + table[top + 1, left + 1] * along
        result: Map = (upper * (1 - down) + lower * down).astype(np.float32)
        return result


def sheet_of(solid: Solid, px_per_mm: float) -> Sheet:
    """The sheet that fits a vessel: half its girth wide."""
    return Sheet(px_per_mm, float(np.pi * solid.radius_mm), solid.height_mm)


def raised(spec: BottleSpec, solid: Solid, sheet: Sheet) -> Map | None:
    """Heights in mm of everything raised on the front, or nothing if it is plain."""
    if not (spec.embossing or spec.plate or solid.profile.ribs or solid.profile.panel):
        return None
    mask = Image.new("L", sheet.size, 0)
    for line in spec.embossing:
        (_upwards if spec.upwards else _across)(mask, line, solid, sheet)
    if spec.plate and spec.embossing:
        _plate(mask, spec, solid, sheet)
    letters = blur(np.asarray(mask, dtype=np.float32) / 255.0, 0.30 * sheet.px_per_mm)
    height = LETTER_MM * np.clip(letters * 1.25, 0, 1)
    if solid.profile.ribs:
        height += _ribs(solid, sheet)
    if solid.profile.panel:
        height += _panel(solid, sheet)
    result: Map = height.astype(np.float32)
    return result


def _across(mask: Image.Image, line: Line, solid: Solid, sheet: Sheet) -> None:
    """A line of letters around the front, shrunk if it would run out of sight."""
    size = line.size_mm * sheet.px_per_mm
    room = (1.5 if solid.round else 1.5) * solid.radius_mm * sheet.px_per_mm
    wide = width_of(line.text, round(size))
    size = round(size * min(1.0, room / wide))
    stroke = max(1, round(size * 0.075))
    middle = sheet.place(0, line.at * solid.height_mm)
    word(mask, line.text, middle, size, stroke_px=stroke, arch=line.arch)


def _upwards(mask: Image.Image, line: Line, solid: Solid, sheet: Sheet) -> None:
    """A line that runs up the panel; `at` then says how far across it stands (0 left, 1 right)."""
    room = 0.56 * solid.height_mm * sheet.px_per_mm
    size = line.size_mm * sheet.px_per_mm
    size = round(size * min(1.0, room / width_of(line.text, round(size))))
    strip = Image.new("L", (round(room) + 8, round(size * 1.8)), 0)
    word(strip, line.text, (strip.width / 2, strip.height / 2), size, stroke_px=max(1, round(size * 0.075)))
    strip = strip.transpose(Image.Transpose.ROTATE_90)
    x, y = sheet.place((line.at - 0.5) * 1.5 * solid.radius_mm, 0.36 * solid.height_mm)
    corner = (round(x - strip.width / 2), round(y - strip.height / 2))
    mask.paste(255, (corner[0], corner[1], corner[0] + strip.width, corner[1] + strip.height), strip)


def _plate(mask: Image.Image, spec: BottleSpec, solid: Solid, sheet: Sheet) -> None:
    """The raised ring of a mould plate around the lettering."""
    ats = [line.at for line in spec.embossing]
    x, y = sheet.place(0, (max(ats) + min(ats)) / 2 * solid.height_mm)
    half = (max(ats) - min(ats)) / 2 * solid.height_mm + spec.embossing[0].size_mm * 1.5
    tall, wide = half * sheet.px_per_mm, max(half, solid.radius_mm * 1.12) * sheet.px_per_mm
    box = (x - wide, y - tall, x + wide, y + tall)
    ImageDraw.Draw(mask).ellipse(box, outline=255, width=max(2, round(0.8 * sheet.px_per_mm)))


def _ribs(solid: Solid, sheet: Sheet) -> Map:
    """Upright ribs around the body."""
    width, height = sheet.size
    across = np.cos(np.linspace(-np.pi / 2, np.pi / 2, width, dtype=np.float32) * solid.profile.ribs)
    up = 1.0 - (np.arange(height, dtype=np.float32) + 0.5) / height
    on = np.clip((up - 0.06) / 0.02, 0, 1) * np.clip((0.60 - up) / 0.03, 0, 1)
    return 0.9 * np.maximum(across, 0)[None, :] * on[:, None]


def _panel(solid: Solid, sheet: Sheet) -> Map:
    """A sunken panel with its frame standing."""
    mask = Image.new("L", sheet.size, 255)
    half = solid.radius_mm * 0.76
    low, high = 0.07 * solid.height_mm, 0.65 * solid.height_mm
    box = (*sheet.place(-half, high), *sheet.place(half, low))
    ImageDraw.Draw(mask).rounded_rectangle(box, radius=half * 0.5 * sheet.px_per_mm, fill=0)
    return 1.1 * blur(np.asarray(mask, dtype=np.float32) / 255.0, 0.7 * sheet.px_per_mm)
