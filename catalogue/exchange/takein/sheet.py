"""A spreadsheet as plain cells, whatever its format; what is too large or has no headings is refused."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from catalogue.exchange.backup.running import WorkRefused

# Our own bounds: several times the largest private collection, and a few seconds of reading.
MOST_SHEET_ROWS, MOST_SHEET_COLUMNS = 20_000, 200
# The longest text of a find has 10,000 signs; what lists all lettering of one may have some more.
LONGEST_SHEET_CELL = 40_000
MOST_SHEET_BYTES = 40 * 1024 * 1024
# Where headings may stand: some sheets have a title and a blank line above them.
HEADINGS_WITHIN = 20


class SheetRefused(WorkRefused):
    """A file that can't be taken in; the message is one sentence: what is wrong, and what to do."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row: its number as the spreadsheet shows it, and its cells as text, one for each heading."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """Headings and rows; `letters` are the columns as the spreadsheet names them; `notes` what was seen."""

    headings: tuple[str, ...]
    letters: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    notes: tuple[str, ...] = field(default=())


def column_letters(index: int) -> str:
    """ "A" for 0, "AA" for 26: a column's name in every spreadsheet program."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def sheet_of(rows: Iterable[tuple[int, Sequence[str]]], *, notes: Sequence[str] = ()) -> ReadSheet:
    """The first row with two texts or more is the headings (the first at all where none has two).

    `rows`: number of the row, from 1, and its cells; blank ones may be left out. Raises SheetRefused.
    """
    source = _filled(rows)
    waiting: list[tuple[int, list[str]]] = []
    headings: list[str] | None = None
    for number, cells in source:
        waiting.append((number, cells))
        if sum(bool(cell) for cell in cells) > 1:
            headings = cells
            break
        if len(waiting) >= HEADINGS_WITHIN:
            break
    if not waiting:
        raise SheetRefused("This file is empty: nothing stands in it.")
    if headings is None:
        # A sheet of one column.
        headings, below = waiting[0][1], waiting[1:]
    else:
        below = []
    kept = [at for at, name in enumerate(headings) if name]
    known = set(kept)
    _each_once([(headings[at], column_letters(at)) for at in kept])
    found: list[SheetRow] = []
    for number, cells in _chained(below, source):
        stray = next((at for at, cell in enumerate(cells) if cell and at not in known), None)
        if stray is not None:
            raise SheetRefused(
                f"Row {number} has something in column {column_letters(stray)}, which has no heading: "
                "give it one, or empty it."
            )
        found.append(SheetRow(number, tuple(cells[at] if at < len(cells) else "" for at in kept)))
    if not found:
        raise SheetRefused("This file has only headings: below them stands nothing to take in.")
    return ReadSheet(
        tuple(headings[at] for at in kept),
        tuple(column_letters(at) for at in kept),
        tuple(found),
        tuple(notes),
    )


def _chained(
    first: list[tuple[int, list[str]]], rest: Iterator[tuple[int, list[str]]]
) -> Iterator[tuple[int, list[str]]]:
    yield from first
    yield from rest


def _filled(rows: Iterable[tuple[int, Sequence[str]]]) -> Iterator[tuple[int, list[str]]]:
    """Rows in which something stands, cells tidied; raises SheetRefused past the bounds."""
    count = 0
    for number, raw in rows:
        cells = [tidy_cell(cell) for cell in raw]
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            continue
        count += 1
        if count > MOST_SHEET_ROWS + 1:
            raise SheetRefused(
                f"It has more than {MOST_SHEET_ROWS:,} rows: part it into several files, and take in one "
                "after the other."
            )
        if len(cells) > MOST_SHEET_COLUMNS:
            raise SheetRefused(
                f"Row {number} has more than {MOST_SHEET_COLUMNS} columns: leave out what is not about finds."
            )
        for at, cell in enumerate(cells):
            if len(cell) > LONGEST_SHEET_CELL:
                raise SheetRefused(
                    f"Row {number}, column {column_letters(at)} holds {len(cell):,} letters, and "
                    f"{LONGEST_SHEET_CELL:,} go in at most: shorten it."
                )
        yield number, cells


def tidy_cell(text: str) -> str:
    """Without what can't be stored or seen at its ends; line ends are one sign."""
    if text.isascii() and text.isprintable():
        return text.strip()
    plain = text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "")
    return "".join(c for c in plain if not "\ud800" <= c <= "\udfff").replace("\u00a0", " ").strip()


def _each_once(named: Sequence[tuple[str, str]]) -> None:
    seen: dict[str, str] = {}
    for name, letters in named:
        plain = " ".join(name.casefold().split())
        if plain in seen:
            raise SheetRefused(
                f"Columns {seen[plain]} and {letters} are both headed “{name[:60]}”: give one of them "
                "another heading."
            )
        seen[plain] = letters
