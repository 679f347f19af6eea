"""The formats that finds are taken out in: what each is called, and how it is written."""

import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from .csv_file import csv_lines
from .rows import FindRow, rows_of
from .xlsx_file import write_xlsx

BYTES_A_PART = 64 * 1024


@dataclass(frozen=True, slots=True)
class OpenFormat:
    """`parts` writes rows as a file, in parts that can be sent one after the other."""

    key: str
    label: str
    help_text: str
    ending: str
    content_type: str
    parts: Callable[[Iterable[FindRow], bool], Iterator[bytes]]


def _csv(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(csv_lines(rows, public=public))


def _xlsx(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    # A zip's list of contents stands at its end: it is made whole first, beside the memory.
    with tempfile.TemporaryFile() as file:
        write_xlsx(rows, file, public=public)
        file.seek(0)
        while part := file.read(BYTES_A_PART):
            yield part


def _together(lines: Iterable[str]) -> Iterator[bytes]:
    """Short pieces of text as UTF-8, some thousand characters at once."""
    waiting: list[str] = []
    length = 0
    for line in lines:
        waiting.append(line)
        length += len(line)
        if length >= BYTES_A_PART:
            yield "".join(waiting).encode("utf-8", errors="replace")
            waiting, length = [], 0
    if waiting:
        yield "".join(waiting).encode("utf-8", errors="replace")


OPEN_FORMATS = {
    each.key: each
    for each in (
        OpenFormat(
            "xlsx",
            "Spreadsheet (XLSX)",
            "One row a find; sizes and years are numbers, days are days.",
            "xlsx",
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            _xlsx,
        ),
        OpenFormat(
            "csv",
            "Table as text (CSV)",
            "The same rows as plain text, which nearly every program reads.",
            "csv",
            "text/csv; charset=utf-8",
            _csv,
        ),
    )
}


def taken_out(keys: Sequence[int], written_as: OpenFormat, *, public: bool) -> Iterator[bytes]:
    """The file of these finds, part by part."""
    return written_as.parts(rows_of(keys, public=public), public)
