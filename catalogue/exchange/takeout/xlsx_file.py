"""Finds as XLSX (ISO/IEC 29500), one sheet: numbers as numbers, days as days, text never as a formula."""

import re
from collections.abc import Iterable
from datetime import date
from typing import IO, Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font

from .columns import SheetCell, columns_for
from .formulas import quoted
from .rows import FindRow

# ISO/IEC 29500-1, 18.3.1.4: a cell holds so many characters, counted in UTF-16.
LONGEST_CELL = 32_767
CUT_SHORT = " […]"
# What XML can't hold: most control characters, lone surrogates, two that are no characters.
NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
# The first day that the format can count.
FIRST_COUNTED_DAY = date(1900, 3, 1)
DAY_FORMAT = "yyyy-mm-dd"


def write_xlsx(rows: Iterable[FindRow], target: IO[bytes], *, public: bool) -> None:
    """Write the workbook; row by row, so that memory stays flat."""
    columns = columns_for(public=public)
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Finds")
    sheet.freeze_panes = "B2"
    sheet.append([_heading(sheet, column.heading) for column in columns])
    for row in rows:
        sheet.append([_cell(sheet, column.cell(row)) for column in columns])
    book.save(target)


def _heading(sheet: Any, words: str) -> Any:
    cell = WriteOnlyCell(sheet, words)
    cell.font = Font(bold=True)
    return cell


def _cell(sheet: Any, value: SheetCell) -> Any:
    if isinstance(value, date):
        if value < FIRST_COUNTED_DAY:
            return value.isoformat()
        cell = WriteOnlyCell(sheet, value)
        cell.number_format = DAY_FORMAT
        return cell
    if not isinstance(value, str):
        return value
    text = _fitting(NOT_IN_XML.sub("", value))
    if not text:
        return None
    cell = WriteOnlyCell(sheet, text)
    # Text whatever it begins with, also once somebody edits the cell there.
    cell.data_type = "s"
    cell.quotePrefix = quoted(text) != text
    return cell


def _fitting(text: str) -> str:
    """The text, cut where a cell can't hold it, and then saying so."""
    if len(text.encode("utf-16-le")) // 2 <= LONGEST_CELL:
        return text
    room = (LONGEST_CELL - len(CUT_SHORT)) * 2
    return text.encode("utf-16-le")[:room].decode("utf-16-le", errors="ignore") + CUT_SHORT
