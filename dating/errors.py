"""What can go wrong: a case that cannot be answered, or a table that cannot be trusted."""

from collections.abc import Iterable
from difflib import get_close_matches


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
