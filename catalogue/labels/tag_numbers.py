"""Which tag comes next."""

import re

from django.db import transaction

from catalogue.photos.models import CardGroup
from catalogue.specimens.models import Specimen

from .models import TagRun, TagSeries

USUAL_LETTERS = "T"
LARGEST_TAG = 999_999


class TagsUsedUp(ValueError):
    """No numbers are left under these letters."""


def highest_used(letters: str) -> int:
    """The highest number under those letters on any find, the bin included, or on a card; 0 for none."""
    shape = re.compile(rf"{re.escape(letters)}[\s-]?(\d{{1,6}})", re.IGNORECASE)
    written = [
        *Specimen.everything.filter(field_tag__istartswith=letters).values_list("field_tag", flat=True),
        *CardGroup.objects.filter(code__istartswith=letters).values_list("code", flat=True),
    ]
    return max((int(found[1]) for text in written if (found := shape.fullmatch(text.strip()))), default=0)


def next_number(letters: str) -> int:
    """The first number that is neither used nor printed."""
    printed = TagSeries.objects.filter(letters=letters).values_list("last", flat=True).first() or 0
    return max(printed, highest_used(letters)) + 1


@transaction.atomic
def give_tags(letters: str, count: int, page: str) -> TagRun:
    """The next `count` tags, remembered as printed. The series' row is locked until the caller's end.

    Raises TagsUsedUp where the letters have no such numbers left.
    """
    TagSeries.objects.get_or_create(letters=letters)
    series = TagSeries.objects.select_for_update().get(letters=letters)
    first = max(series.last, highest_used(letters)) + 1
    series.last = first + count - 1
    if series.last > LARGEST_TAG:
        raise TagsUsedUp(f"{letters}-{LARGEST_TAG} is the last tag there can be: take other letters.")
    series.save(update_fields=["last"])
    return TagRun.objects.create(letters=letters, first=first, last=series.last, page=page)


def usual_letters() -> str:
    """The letters of the tags printed last."""
    return TagRun.objects.values_list("letters", flat=True).first() or USUAL_LETTERS
