"""Derived columns of a find that an app above works out (dependency inversion): registered, written here.

The app gives the rules (which rows feed the column) and the values; when to follow, and the writing itself,
stay with this package.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping

from catalogue.specimens.models import Specimen

from .rules import Dependency, add_sources
from .writer import batches_of, write_columns

# Of finds by key, the bin included: what the column should hold.
WorkOut = Callable[[Collection[int]], Mapping[int, str]]
_worked_out: dict[str, WorkOut] = {}


def follow_with(column: str, work_out: WorkOut, sources: Iterable[Dependency]) -> None:
    """Have an app above work out a column of finds, and anew whenever a row of these rules is written.

    Called while the applications get ready, with `refresh.listen` after it.
    """
    _worked_out[column] = work_out
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


def _different(
    keys: Collection[int],
) -> Iterator[tuple[str, list[tuple[int, str, str | None, str]]]]:
    for column, work_out in _worked_out.items():
        expected = work_out(keys)
        stored = Specimen.everything.filter(pk__in=keys).order_by("pk").values_list("pk", "number", column)
        rows = [(pk, number, held, expected[pk]) for pk, number, held in stored if held != expected[pk]]
        yield column, rows
