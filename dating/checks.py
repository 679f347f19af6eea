"""Validation: the errors of the service, and the checks of a case's fields, refused by their key path."""

from collections.abc import Collection, Iterable, Mapping
from difflib import get_close_matches

from .constants import CERTAINTY


class CaseError(ValueError):
    """A case that cannot be answered.

    ``message`` is one sentence for a person, ``at`` the path of the offending key
    (``features[1].id``), empty where the whole case is meant.
    """

    def __init__(self, message: str, at: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.at = at


class ReferenceError(ValueError):  # the public name; the built-in of this name is about weak references
    """A row of the tables that may not be used; says the file, the row's number or id, and the field."""

    def __init__(self, file: str, row: str, field: str, message: str) -> None:
        super().__init__(f"{file}, row {row}, {field}: {message}")
        self.file = file
        self.row = row
        self.field = field
        self.message = message


class EdtfError(ValueError):
    """A date string that is not understood; the text says why."""


def nearest(word: str, known: Iterable[str]) -> str:
    """A tail for a message that names the nearest known values, or all of a short list."""
    choices = sorted({k for k in known if k})
    close = get_close_matches(word, choices, n=3, cutoff=0.5)
    if not close and len(choices) <= 12:
        close = choices
    return f"; nearest: {', '.join(close)}" if close else ""


FIRST_YEAR, LAST_YEAR = 1, 9999


def mapping(value: object, at: str, known: Collection[str]) -> Mapping[str, object]:
    """An object whose keys are all known."""
    if not isinstance(value, dict):
        raise CaseError("an object with keys is expected here", at)
    for key in value:
        if key not in known:
            raise CaseError(
                f"unknown key “{str(key)[:40]}”" + nearest(str(key), known), f"{at}.{key}".lstrip(".")
            )
    return value


def items(value: object, at: str) -> list[object]:
    """A list; a missing one is empty."""
    if value is None:
        return []
    if not isinstance(value, list | tuple):
        raise CaseError("a list is expected here", at)
    return list(value)


def text(value: object, at: str, longest: int = 200) -> str | None:
    """Text of reasonable length, or nothing."""
    if value is None:
        return None
    if not isinstance(value, str):
        raise CaseError("text is expected here", at)
    if len(value) > longest:
        raise CaseError(f"longer than {longest} characters", at)
    # Plain text, also where a named choice that equals it is given: what is remembered goes by its looks too.
    return str.__str__(value)


def texts(value: object, at: str) -> list[str]:
    """A list of texts; what is nothing in it is empty."""
    return [text(item, f"{at}[{n}]") or "" for n, item in enumerate(items(value, at))]


def flag(value: object, at: str) -> bool:
    """True or false; nothing is false."""
    if not isinstance(value, bool | None):
        raise CaseError("true or false is expected here", at)
    return bool(value)


def choice(value: object, at: str, known: Collection[str]) -> str | None:
    """One of the known values, or nothing."""
    word = text(value, at)
    if word is None or not word.strip():
        return None
    if word not in known:
        raise CaseError(f"“{word[:40]}” is not known" + nearest(word, known), at)
    return word


def certainty(value: object, at: str) -> str:
    """One of the three certainties; certain where nothing is said."""
    return choice(value, at, CERTAINTY) or "certain"


def year(value: object, at: str) -> int | None:
    """A whole year, or nothing."""
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int):
        raise CaseError("a year in whole numbers is expected here", at)
    if not FIRST_YEAR <= value <= LAST_YEAR:
        raise CaseError(f"{str(value)[:12]} is not a year between {FIRST_YEAR} and {LAST_YEAR}", at)
    return value


def in_order(start: int | None, end: int | None, at: str) -> None:
    """The end is not before the start."""
    if start is not None and end is not None and end < start:
        raise CaseError(f"years out of order: {end} is before {start}", at)


def not_to_come(start: int | None, this_year: int, at: str) -> None:
    """What is said of a bottle does not begin after this year."""
    if start is not None and start > this_year:
        raise CaseError(f"{start} is after this year, {this_year}: no bottle is of a year to come", at)
