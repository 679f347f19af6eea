"""Derived columns of a find that an app above works out (dependency inversion): registered, written here.

The app gives the rules (which rows feed the column) and the values; when to follow, and the writing itself,
stay with this package.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from catalogue.specimens.models import Specimen

from .batches import batches_of
from .rules import Dependency, add_sources
from .writer import write_columns

Different = list[tuple[int, str, str | None, str]]


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """A column that an app above works out: finds with all that it reads of them, and the value of one."""

    with_parts: Callable[[QuerySet[Specimen]], QuerySet[Specimen]]
    value: Callable[[Specimen], str]


_worked_out: dict[str, WorkedOut] = {}


def follow_with(column: str, how: WorkedOut, sources: Iterable[Dependency]) -> None:
    """Have an app above work out a column of finds, and anew whenever a row of these rules is written.

    Called while the applications get ready, with `listening.listen` after it.
    """
    _worked_out[column] = how
    add_sources(sources)


def columns_above() -> tuple[str, ...]:
    """The columns that apps above work out."""
    return tuple(_worked_out)


def refresh_above(keys: Collection[int]) -> int:
    """Bring these columns of many finds up to date, past the history; how many held something else."""
    changed = 0
    for part in batches_of(keys):
        for column, rows in _different(part):
            write_columns([(pk, {column: expected}) for pk, _, _, expected in rows])
            changed += len(rows)
    return changed


def differences_above(keys: Collection[int]) -> Iterator[tuple[str, str, str | None, str]]:
    """Number, column, what is stored and what should be, of each find that differs. Five queries or so."""
    for column, rows in _different(keys):
        for _, number, stored, expected in rows:
            yield number, column, stored, expected


def _different(keys: Collection[int]) -> Iterator[tuple[str, Different]]:
    """By column: key, number, what is stored and what should be, of the finds that differ."""
    finds = Specimen.everything.filter(pk__in=keys).order_by("pk").defer("notes", "story")
    for column, how in _worked_out.items():
        rows = [(find, getattr(find, column), how.value(find)) for find in how.with_parts(finds)]
        yield column, [(find.pk, find.number, held, value) for find, held, value in rows if held != value]
