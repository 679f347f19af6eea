"""Catalogue numbers: year.dive.piece, as museums number (2026.14.3), a letter for a part."""

import re
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from catalogue.sites.models import Dive
from catalogue.sites.services import hold_ordinal

from .models import NumberSeries, Specimen

_SHAPE = re.compile(r"^(\d{4})\.(\d{1,6})\.(\d{1,6})([a-z]?)$")


@dataclass(frozen=True, slots=True)
class Number:
    """The integers a number is sorted by."""

    year: int
    ordinal: int
    piece: int
    part: str = ""

    def __str__(self) -> str:
        return f"{self.year}.{self.ordinal}.{self.piece}{self.part}"


def read_number(text: str) -> Number | None:
    """The number written in `text`, or None where it is not of that shape."""
    found = _SHAPE.match(text.strip().lower())
    return Number(int(found[1]), int(found[2]), int(found[3]), found[4]) if found else None


@transaction.atomic
def give_number(dive: Dive | None, *, year: int | None = None) -> Number:
    """The next number of a dive; of the year of cataloguing and 0 where the dive is not known.

    The series' row is locked until the caller's transaction ends and only ever grows, so two writers
    never get the same number and a deleted find's number is not given again.
    """
    ordinal = dive.ordinal if dive else 0
    year = dive.year if dive else (year or timezone.localdate().year)
    return give_numbers(year, ordinal, 1)[0]


@transaction.atomic
def give_numbers(year: int, ordinal: int, count: int) -> list[Number]:
    """So many next numbers of one series, as `give_number` gives them."""
    NumberSeries.objects.get_or_create(year=year, ordinal=ordinal)
    series = NumberSeries.objects.select_for_update().get(year=year, ordinal=ordinal)
    first = series.last + 1
    series.last += count
    series.save(update_fields=["last"])
    return [Number(year, ordinal, piece) for piece in range(first, first + count)]


@transaction.atomic
def take_number(number: Number) -> Number:
    """A number that a person gave, such as one from a spreadsheet; its series goes on after it.

    The dive of that year and ordinal counts as given too, so that no later dive takes its number.
    """
    NumberSeries.objects.get_or_create(year=number.year, ordinal=number.ordinal)
    series = NumberSeries.objects.select_for_update().get(year=number.year, ordinal=number.ordinal)
    if series.last < number.piece:
        series.last = number.piece
        series.save(update_fields=["last"])
    if number.ordinal:
        hold_ordinal(number.year, number.ordinal)
    return number


@transaction.atomic
def give_part(find: Specimen) -> Number:
    """The number of the next part of a find: its stopper is 2026.14.3a. Raises ValueError past z.

    The history is asked too, so that the letter of a part deleted for good is not given again; the series'
    row is locked as for a whole number.
    """
    series = NumberSeries.objects.filter(year=find.number_year, ordinal=find.number_ordinal)
    list(series.select_for_update())
    piece = {
        "number_year": find.number_year,
        "number_ordinal": find.number_ordinal,
        "number_piece": find.number_piece,
    }
    taken = max(
        *Specimen.everything.filter(**piece).values_list("number_part", flat=True),
        *Specimen.history.filter(**piece).values_list("number_part", flat=True),
        "",
        "",
    )
    if taken == "z":
        raise ValueError("This piece already has parts a to z.")
    part = chr(ord(taken) + 1) if taken else "a"
    return Number(find.number_year, find.number_ordinal, find.number_piece, part)


def put_number(find: Specimen, number: Number) -> None:
    """Write a number into its columns."""
    find.number = str(number)
    find.number_year, find.number_ordinal = number.year, number.ordinal
    find.number_piece, find.number_part = number.piece, number.part
