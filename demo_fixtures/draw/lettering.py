"""Words set letter by letter: straight, arched, or around a circle; white on black masks."""

from functools import lru_cache
from math import cos, degrees, pi, sin

from PIL import Image, ImageDraw, ImageFont


@lru_cache(maxsize=512)
def letter(character: str, size_px: int, stroke_px: int = 0) -> Image.Image:
    """One character, `size_px` tall as capitals go, fattened by `stroke_px` as moulded letters are."""
    font = ImageFont.load_default(size_px / 0.72)
    left, _, right, _ = font.getbbox(character, anchor="ls")
    width = int(right - left) + 2 * stroke_px + 4
    descent = int(size_px * 0.34) + stroke_px
    mask = Image.new("L", (max(width, 2), int(size_px * 1.12) + stroke_px + descent), 0)
    baseline = mask.height - descent
    ImageDraw.Draw(mask).text(
        (2 + stroke_px - left, baseline), character, 255, font=font, anchor="ls", stroke_width=stroke_px
    )
    return mask


def width_of(text: str, size_px: int, spacing: float = 0.12) -> float:
    """How wide `word` would set the text, in pixels."""
    font = ImageFont.load_default(size_px / 0.72)
    return float(sum(font.getlength(c) for c in text) + spacing * size_px * max(0, len(text) - 1))


def word(
    mask: Image.Image,
    text: str,
    middle: tuple[float, float],
    size_px: int,
    *,
    stroke_px: int = 0,
    spacing: float = 0.12,
    arch: float = 0.0,
) -> None:
    """Set a line centred on `middle`; `arch` 1 bends it to a half circle, negative hangs it."""
    total = width_of(text, size_px, spacing)
    if arch:
        radius = total / (pi * abs(arch))
        sign = 1 if arch > 0 else -1
        top = (middle[0], middle[1] + sign * radius)
        around(mask, text, top, radius, 0 if sign > 0 else 180, size_px, stroke_px=stroke_px, spacing=spacing)
        return
    font = ImageFont.load_default(size_px / 0.72)
    x = middle[0] - total / 2
    for character in text:
        advance = font.getlength(character)
        _stamp(mask, character, (x + advance / 2, middle[1]), 0.0, size_px, stroke_px)
        x += advance + spacing * size_px


def around(
    mask: Image.Image,
    text: str,
    centre: tuple[float, float],
    radius: float,
    middle_deg: float,
    size_px: int,
    *,
    stroke_px: int = 0,
    spacing: float = 0.12,
) -> None:
    """Set a line on a circle, its middle at `middle_deg` clockwise from twelve o'clock.

    In the lower half letters stand with their feet outwards so that they read from left to right.
    """
    hanging = 90 < middle_deg % 360 < 270
    sense = -1 if hanging else 1
    font = ImageFont.load_default(size_px / 0.72)
    total = width_of(text, size_px, spacing)
    angle = middle_deg / 180 * pi - sense * total / 2 / radius
    for character in text:
        advance = font.getlength(character)
        angle += sense * advance / 2 / radius
        at = (centre[0] + radius * sin(angle), centre[1] - radius * cos(angle))
        _stamp(mask, character, at, degrees(angle) + (180 if hanging else 0), size_px, stroke_px)
        angle += sense * (advance / 2 + spacing * size_px) / radius


def _stamp(
    mask: Image.Image, character: str, at: tuple[float, float], turn_deg: float, size_px: int, stroke_px: int
) -> None:
    """Lay one letter on the mask with the middle of its capital height at `at`, turned clockwise."""
    glyph = letter(character, size_px, stroke_px)
    descent = int(size_px * 0.34) + stroke_px
    drop = (glyph.height - descent - size_px / 2) - glyph.height / 2
    if turn_deg:
        turn = turn_deg / 180 * pi
        at = (at[0] + drop * sin(turn), at[1] - drop * cos(turn))
        glyph = glyph.rotate(-turn_deg, Image.Resampling.BICUBIC, expand=True)
    else:
        at = (at[0], at[1] - drop)
    corner = (round(at[0] - glyph.width / 2), round(at[1] - glyph.height / 2))
    mask.paste(255, (corner[0], corner[1], corner[0] + glyph.width, corner[1] + glyph.height), glyph)
