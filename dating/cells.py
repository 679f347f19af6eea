"""Turn the cells of one table row into typed values, refusing what cannot be meant."""

from collections.abc import Mapping

from .errors import ReferenceError, nearest

OLDEST, NEWEST = 1000, 2999


class Cells:
    """The cells of one row, and where it stands, so that a refusal can say so."""

    def __init__(self, file: str, row: str, values: Mapping[str, object]) -> None:
        self.file = file
        self.row = row
        self._values = values

    def refuse(self, field: str, message: str) -> ReferenceError:
        """The error to raise for a field of this row."""
        return ReferenceError(self.file, self.row, field, message)

    def check_columns(self, required: frozenset[str], optional: frozenset[str]) -> None:
        """Every required column is there and none is unknown."""
        for field in sorted(required - self._values.keys()):
            raise self.refuse(field, "the column is missing")
        for field in sorted(str(k) for k in self._values.keys() - required - optional):
            raise self.refuse(field, "no such column" + nearest(field, required | optional))

    def text(self, field: str, default: str = "", needed: bool = False) -> str:
        """The cell as trimmed text; ``None`` and a missing column are the default."""
        value = self._values.get(field)
        if isinstance(value, dict | list | float):
            raise self.refuse(field, "expected text")
        words = default if value is None else str(value).strip()
        if needed and not words:
            raise self.refuse(field, "may not be empty")
        if len(words) > 2000:
            raise self.refuse(field, "longer than 2,000 characters")
        return words

    def choice(self, field: str, known: tuple[str, ...], default: str) -> str:
        """The cell, which must be one of the known words."""
        word = self.text(field) or default
        if word not in known:
            raise self.refuse(field, f"“{word[:40]}” is not known" + nearest(word, known))
        return word

    def year(self, field: str) -> int | None:
        """The cell as a year; blank is open."""
        word = self.text(field)
        if not word:
            return None
        if not (word.isascii() and word.isdigit()) or not OLDEST <= int(word[:9]) <= NEWEST:
            raise self.refuse(field, f"“{word[:20]}” is not a year")
        return int(word)

    def flag(self, field: str) -> bool:
        """The cell as yes or no; blank is no."""
        word = self.text(field).lower()
        if word not in {"", "true", "false"}:
            raise self.refuse(field, f"“{word[:20]}” is neither true nor false")
        return word == "true"

    def several(self, field: str) -> tuple[str, ...]:
        """A cell of several values joined by semicolons."""
        return tuple(part.strip() for part in self.text(field).split(";") if part.strip())

    def in_order(self, **years: int | None) -> None:
        """The given years (in the order given) never go back."""
        known = [(field, year) for field, year in years.items() if year is not None]
        for (before, early), (after, late) in zip(known, known[1:], strict=False):
            if early > late:
                raise self.refuse(after, f"years out of order: {late} is before {before} {early}")
