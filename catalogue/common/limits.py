"""Bounds on what is typed, shared by models and forms so that they are stated once."""

import re
from datetime import date

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import timezone

from catalogue.common.localisation import day_words

EARLIEST_YEAR = 1600
NAME_LENGTH = 200
NOTE_LENGTH = 10_000

above_zero = MinValueValidator(0.01, "This must be more than 0.")
not_negative = MinValueValidator(0, "This can't be less than 0.")


def at_most(limit: float, unit: str) -> MaxValueValidator:
    return MaxValueValidator(limit, f"This can't be more than {limit:g} {unit}.")


def key_typed(typed: str) -> int | None:
    """A row's key as an address or a form has it, of digits that a database takes; None for anything else."""
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 19 else None


def too_many_letters(typed: int, most: int) -> str:
    """What is said of a text that is too long, without its full stop. Both in letters."""
    return f"{typed:,} letters are too many, {most:,} go in"


FEWEST_WORDS = 3
_WORD = re.compile(r"[^\W\d_]{2,}")


def a_few_words(text: str) -> bool:
    """Whether a written reason says something: three different words at least."""
    return len({word.casefold() for word in _WORD.findall(text)}) >= FEWEST_WORDS


def says_no_name(text: str) -> bool:
    """Whether something stands there without a letter or a figure in it: "???" names nothing."""
    return bool(text.strip()) and not any(map(str.isalnum, text))


NO_NAME = "there is no letter in it; leave it empty where none can be read"


def some_letter(text: str) -> None:
    """Raises ValidationError for a name without any letter or figure."""
    if says_no_name(text):
        raise ValidationError(
            "There is no letter in that. Type what can be read of it, or nothing where none can."
        )


def not_in_future(day: date | None) -> None:
    """Raises ValidationError for a day after today (the machine's own day)."""
    if day and day > timezone.localdate():
        raise ValidationError(f"This day is in the future. Check the year{or_the_clock()}.")


def or_the_clock() -> str:
    """The end of "Check the year", as it may be the clock that is wrong."""
    return f", or this machine's clock, which says {day_words(timezone.localdate())}"


def sensible_year(year: int) -> None:
    """Raises ValidationError for a year that no bottle and no firm here can have."""
    if not EARLIEST_YEAR <= year <= timezone.localdate().year:
        raise ValidationError(f"Give a year from {EARLIEST_YEAR} to {timezone.localdate().year}.")
