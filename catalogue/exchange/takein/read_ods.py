"""ODS (ISO/IEC 26300, OASIS OpenDocument) as cells: what the XML says, read by expat as it comes.

Repeated cells and rows are counted, not unfolded; formulas come as their stored results; covered cells of a
merged one are blank, notes beside cells are left out.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import IO, Any
from xml.parsers import expat

from .packed import SHEET_DAMAGED, UNPACKING_FAILED, open_packed, refuse_document_type
from .read_xlsx import plain_number
from .sheet import MOST_SHEET_COLUMNS, ReadSheet, SheetRefused, sheet_of

_NAMESPACE = "urn:oasis:names:tc:opendocument:xmlns:"
ODF_TABLE, ODF_OFFICE, ODF_TEXT = (
    f"{_NAMESPACE}table:1.0 ",
    f"{_NAMESPACE}office:1.0 ",
    f"{_NAMESPACE}text:1.0 ",
)
# A value may be repeated over so many cells and rows; blanks as often as they like.
MOST_REPEATED = 100_000
ODF_MANIFEST = "META-INF/manifest.xml"


def read_ods(data: bytes) -> ReadSheet:
    """The cells. Raises SheetRefused."""
    with open_packed(data) as archive:
        names = set(archive.namelist())
        if "content.xml" not in names:
            raise SheetRefused("This is no ODS spreadsheet, though its name says so: save it anew as ODS.")
        try:
            if ODF_MANIFEST in names and b"encryption-data" in archive.read(ODF_MANIFEST):
                raise SheetRefused("This file is locked with a password: save it without one.")
            with archive.open("content.xml") as part:
                refuse_document_type(part)
            with archive.open("content.xml") as part:
                return _first_table(part)
        except UNPACKING_FAILED:
            raise SheetRefused(SHEET_DAMAGED) from None


def _first_table(part: IO[bytes]) -> ReadSheet:
    reader = _Reader()
    try:
        return sheet_of(reader.rows(part))
    except expat.ExpatError:
        raise SheetRefused(SHEET_DAMAGED) from None


@dataclass(slots=True)
class _Reader:
    """What expat has told so far: of the first table in which something stands."""

    ready: list[tuple[int, list[str]]] = field(default_factory=list)
    number: int = 1
    row_repeated: int = 1
    cells: list[str] = field(default_factory=list)
    value: str = ""
    repeated: int = 1
    typed: bool = False
    paragraphs: list[str] = field(default_factory=list)
    in_cell: bool = False
    in_paragraph: bool = False
    note_depth: int = 0
    found: bool = False
    over: bool = False

    def rows(self, part: IO[bytes]) -> Iterator[tuple[int, list[str]]]:
        """Rows with something in them."""
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        while not self.over and (more := part.read(64 * 1024)):
            parser.Parse(more)
            yield from self.ready
            self.ready.clear()
        if not self.over:
            parser.Parse(b"", True)
            yield from self.ready

    def start(self, name: str, said: dict[str, str]) -> None:
        if self.over:
            return
        if self.note_depth or name == f"{ODF_OFFICE}annotation":
            self.note_depth += 1
        elif name == f"{ODF_TABLE}table-row":
            self.row_repeated, self.cells = _count(said, "rows"), []
        elif name in (f"{ODF_TABLE}table-cell", f"{ODF_TABLE}covered-table-cell"):
            # What a merged cell lies over is not seen there either.
            self._begin_cell(said if name == f"{ODF_TABLE}table-cell" else {}, said)
        elif self.in_cell and name == f"{ODF_TEXT}p":
            self.paragraphs.append("")
            self.in_paragraph = True
        elif self.in_paragraph:
            self._in_paragraph(name, said)

    def _begin_cell(self, said: dict[str, str], repeated: dict[str, str]) -> None:
        self.repeated, self.in_cell, self.paragraphs = _count(repeated, "columns"), said is repeated, []
        kind = said.get(f"{ODF_OFFICE}value-type", "")
        self.value, self.typed = _value(kind, said), kind not in ("", "string")

    def _in_paragraph(self, name: str, said: dict[str, str]) -> None:
        if name == f"{ODF_TEXT}s":
            self.paragraphs[-1] += " " * min(int(said.get(f"{ODF_TEXT}c", "1") or 1), 1_000)
        elif name == f"{ODF_TEXT}tab":
            self.paragraphs[-1] += "\t"
        elif name == f"{ODF_TEXT}line-break":
            self.paragraphs[-1] += "\n"

    def characters(self, text: str) -> None:
        if self.in_paragraph and not self.note_depth and not self.over:
            self.paragraphs[-1] += text

    def end(self, name: str) -> None:
        if self.over:
            return
        if self.note_depth:
            self.note_depth -= 1
        elif name == f"{ODF_TEXT}p":
            self.in_paragraph = False
        elif name in (f"{ODF_TABLE}table-cell", f"{ODF_TABLE}covered-table-cell"):
            self._end_cell()
        elif name == f"{ODF_TABLE}table-row":
            self._end_row()
        elif name == f"{ODF_TABLE}table":
            self.over, self.number = self.found, 1

    def _end_cell(self) -> None:
        self.in_cell = False
        text = self.value if self.typed else "\n".join(self.paragraphs) or self.value
        # Blanks fill a sheet to its last column; past what is refused they need not be counted.
        room = MOST_SHEET_COLUMNS + 1 - len(self.cells)
        if text and self.repeated > MOST_REPEATED:
            raise SheetRefused("A cell of it is repeated without end: it was not opened.")
        self.cells += [text] * max(0, min(self.repeated, room))

    def _end_row(self) -> None:
        if any(self.cells):
            self.found = True
            if self.row_repeated > MOST_REPEATED:
                raise SheetRefused("A row of it is repeated without end: it was not opened.")
            for again in range(self.row_repeated):
                self.ready.append((self.number + again, self.cells))
        self.number += self.row_repeated


def _count(said: dict[str, str], what: str) -> int:
    written = said.get(f"{ODF_TABLE}number-{what}-repeated", "1")
    return max(1, int(written)) if written.isascii() and written.isdigit() and len(written) < 10 else 1


def _value(kind: str, said: dict[str, Any]) -> str:
    """What a cell holds, of which its text is only the look."""
    if kind in ("float", "percentage", "currency"):
        try:
            return plain_number(float(said.get(f"{ODF_OFFICE}value", "")))
        except (ValueError, OverflowError):
            return ""
    if kind == "date":
        day, _, clock = str(said.get(f"{ODF_OFFICE}date-value", "")).partition("T")
        return day if not clock or not clock.strip("0:.") else f"{day} {clock[:5]}"
    if kind == "boolean":
        return "yes" if said.get(f"{ODF_OFFICE}boolean-value") == "true" else "no"
    return str(said.get(f"{ODF_OFFICE}string-value", said.get(f"{ODF_OFFICE}time-value", "")))
