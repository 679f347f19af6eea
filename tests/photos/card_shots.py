"""A camera's card drawn for tests: tags photographed as they come out of the printer, pieces after them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageFilter

from catalogue.labels.tags import TAG_SHEETS, tag_sheet
from tests.labels.rendering import pages
from tests.photos.drawn import encoded, exif, picture, upload

START = datetime(2026, 8, 14, 10, 0, 0)
SIZE = (480, 360)
DPI = 150


@dataclass(frozen=True, slots=True)
class Taken:
    """One picture: its file, and the tag of the piece it shows."""

    file: SimpleUploadedFile
    tag: str
    shows_tag: bool = False


def printed(tags: Sequence[str]) -> list[Image.Image]:
    """Each tag cut out of the printed sheets."""
    sheet = TAG_SHEETS["A4"]
    cut = []
    sheets = pages(tag_sheet(tags, "A4"), dpi=DPI)
    for place in range(len(tags)):
        left, top = (mm * DPI / 25.4 for mm in sheet.place(place % sheet.per_page))
        width, height = sheet.label_width_mm * DPI / 25.4, sheet.label_height_mm * DPI / 25.4
        box = (round(left), round(top), round(left + width), round(top + height))
        cut.append(sheets[place // sheet.per_page].crop(box))
    return cut


def tag_shot(tag: Image.Image, *, blur: float = 0.0, turn: float = 6.0) -> Image.Image:
    """The tag lying aslant on a quay, filling most of the picture; `blur` in pixels of the picture."""
    tag = tag.resize((420, round(420 * tag.height / tag.width)), Image.Resampling.LANCZOS)
    ground = Image.effect_noise(SIZE, 25).convert("RGB").point(lambda level: level * 0.7)
    mask = Image.new("L", tag.size, 255).rotate(turn, expand=True)
    aslant = tag.convert("RGB").rotate(turn, Image.Resampling.BICUBIC, expand=True)
    ground.paste(aslant, ((SIZE[0] - aslant.width) // 2, (SIZE[1] - aslant.height) // 2), mask)
    return ground.filter(ImageFilter.GaussianBlur(blur)) if blur else ground


def card(
    tags: Sequence[str], *, each: int = 4, blurred: Sequence[str] = (), out_of_order: int | None = None
) -> list[Taken]:
    """Every tag and then `each` pictures of its piece, in the order the camera took them.

    The picture at `out_of_order` comes first, with a name that hides its place; only its time tells.
    """
    shots = _shots(tuple(tags), each, frozenset(blurred))
    taken = [Taken(upload(each.content, each.name), each.tag, each.shows_tag) for each in shots]
    if out_of_order is not None:
        moved = taken.pop(out_of_order)
        moved.file.name = "AAA_0000.jpg"
        taken.insert(0, moved)
    return taken


@dataclass(frozen=True, slots=True)
class _Shot:
    content: bytes
    name: str
    tag: str
    shows_tag: bool


@lru_cache(maxsize=64)
def _shots(tags: tuple[str, ...], each: int, blurred: frozenset[str]) -> list[_Shot]:
    """Drawn once for all tests that want the same card: printing the tags costs more than most tests."""
    shots = []
    now, number = START, 0
    for place, (tag, paper) in enumerate(zip(tags, printed(tags), strict=True)):
        now += timedelta(seconds=70 + 13 * (place % 5))
        for of_piece in range(each + 1):
            number += 1
            if of_piece:
                now += timedelta(seconds=5 + 3 * (number % 3))
                image = picture(*SIZE, tint=number)
            else:
                image = tag_shot(paper, blur=9 if tag in blurred else 1, turn=place % 7 * 4 - 12)
            notes = exif(taken=f"{now:%Y:%m:%d %H:%M:%S}")
            shots.append(
                _Shot(encoded(image, quality=85, exif=notes), f"IMG_{number:04}.jpg", tag, not of_piece)
            )
    return shots
