"""A find with pictures of a rendered base under a lamp from eight sides, for the tests of plates."""

from functools import lru_cache
from urllib.parse import urlencode

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.photos.models import Photo
from catalogue.photos.plates.saving import as_png
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.photos.imaging.rendered import Base, base, lit, photographed, raised_letters

Lit = tuple[Specimen, list[Photo]]
HOURS = (0.0, 1.5, 3.0, 4.5, 6.0, 7.5, 9.0, 10.5)
SIZE = 320


@lru_cache(maxsize=1)
def rendered() -> Base:
    return base("BW6HOLLIS", size=SIZE, tall=34, first_deg=20)


@lru_cache(maxsize=8)
def shot(clock: float) -> bytes:
    """A PNG of the dull base under a lamp at that hour."""
    made = rendered()
    height = raised_letters(made.mask, tall_px=1.2)
    amount = lit(height, clock, 25.0)
    return as_png(photographed(amount, 0.004, np.random.default_rng(int(clock * 10))))


def upload(clock: float) -> SimpleUploadedFile:
    return SimpleUploadedFile(f"lamp {clock:g}.png", shot(clock), content_type="image/png")


def lit_find(hours: tuple[float, ...] = HOURS) -> Lit:
    """A find with one picture of its base for each hour; the caption tells the hour."""
    find = make.find("Aqua soda bottle")
    photos = [
        take_in(upload(hour), subject=find, role="base", caption=f"lamp at {hour:g} o'clock")
        for hour in hours
    ]
    return find, photos


def rim_query(count: int = 3) -> dict[str, str]:
    """The true rim of the rendered base, as the page would write it."""
    points = rendered().rim(count)
    return {
        f"p{n}": f"{(x + 0.5) / SIZE * 100:.3f}, {(y + 0.5) / SIZE * 100:.3f}"
        for n, (x, y) in enumerate(points, start=1)
    }


def shots_query(photos: list[Photo], lamp: str = "typed") -> list[tuple[str, str]]:
    pairs = [("photo", str(photo.pk)) for photo in photos]
    pairs += [(f"clock-{photo.pk}", f"{hour:g}") for photo, hour in zip(photos, HOURS, strict=False)]
    return [*pairs, ("lamp", lamp), ("rise", "25")]


def address(find: Specimen, page: str, photos: list[Photo], lamp: str = "typed", **more: str) -> str:
    """An address of the plates' pages with these pictures."""
    pairs = [*shots_query(photos, lamp), *more.items()]
    return f"/finds/{find.number}/plates/{page}?{urlencode(pairs)}"
