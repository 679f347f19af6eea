"""Words for templates that show pictures."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django import template
from django.urls import get_script_prefix, get_urlconf, reverse

from catalogue.common.localisation import clock_words, day_words
from catalogue.photos.decoding import shown_size
from catalogue.photos.files import SIZES_PX
from catalogue.photos.models import Photo, PictureFacts

register = template.Library()


@register.filter
def picture_url(photo: Photo, size: str) -> str:
    """The address of one size."""
    return _address(photo.pk, size, get_script_prefix(), get_urlconf())


@register.filter
def cut_url(photo: Photo) -> str:
    """The address of the bottle cut out of a picture that has one."""
    return _address(photo.pk, "cut", get_script_prefix(), get_urlconf())


@lru_cache(maxsize=1 << 14)
def _address(pk: int, size: str, _prefix: str, _urls: str | None) -> str:
    """A picture stands in a page at every size, and a page is turned to more than once."""
    return reverse("photos:cut", args=[pk]) if size == "cut" else reverse("photos:size", args=[pk, size])


@register.filter
def picture_width(photo: Photo, size: str) -> int:
    """Pixels, so that the page keeps the room before the picture is there."""
    return shown_size(photo.width, photo.height, size)[0]


@register.filter
def picture_height(photo: Photo, size: str) -> int:
    return shown_size(photo.width, photo.height, size)[1]


@register.filter
def picture_srcset(photo: Photo) -> str:
    """Every size with its width, for the browser to choose from."""
    by_width = {picture_width(photo, size): picture_url(photo, size) for size in reversed(SIZES_PX)}
    return ", ".join(f"{url} {width}w" for width, url in sorted(by_width.items()))


@register.filter
def picture_alt(photo: Photo) -> str:
    """What stands for the picture where it can't be seen: its caption, else what it is of and its role."""
    if photo.caption:
        return photo.caption
    of = photo.find.what if photo.find else str(photo.subject)
    return f"{of}, {photo.get_role_display()}"


@register.filter
def taken_words(photo: PictureFacts) -> str:
    """When it was taken, by the clock on the spot, and how that clock stood to the world's. "" if unknown."""
    when = photo.taken_on_the_spot
    if when is None:
        return ""
    said = f"{day_words(when)}, {clock_words(when)}"
    offset = photo.taken_offset_min
    if offset is None:
        return f"{said} local time"
    hours, minutes = divmod(abs(offset), 60)
    sign = "−" if offset < 0 else "+"
    return f"{said} (UTC{sign}{hours}{f':{minutes:02}' if minutes else ''})" if offset else f"{said} (UTC)"


@register.filter
def pause_words(seconds: int) -> str:
    """A pause as people say it: "48 s", "3 min", "2 h"."""
    if seconds < 100:
        return f"{seconds} s"
    return f"{round(seconds / 60)} min" if seconds < 100 * 60 else f"{round(seconds / 3600)} h"


@register.filter
def away_words(metres: float) -> str:
    """A distance as people say it: "40 m", "1.2 km", "300 km"."""
    if metres < 995:
        return f"{max(10, round(metres / 10) * 10)} m"
    return f"{metres / 1000:.1f} km" if metres < 99_500 else f"{round(metres / 1000):,} km"


@register.filter
def any_ruler(rows: Iterable[Any]) -> bool:
    """Whether one of these cards or marks has a year ruler, so that the page says how to read it."""
    return any(row.ruler for row in rows)


@register.simple_tag
def picture_roles() -> list[tuple[str, str]]:
    """What a picture may show: value and word."""
    return list(Photo.Role.choices)
