"""XLSX (ISO/IEC 29500) as cells: the first sheet with something in it, formulas as their stored results."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any

from openpyxl import load_workbook

from .packed import SHEET_DAMAGED, UNPACKING_FAILED, open_packed, refuse_document_type
from .sheet import MOST_SHEET_COLUMNS, ReadSheet, SheetRefused, column_letters, sheet_of

# All texts of a workbook stand in one part, which is held in memory.
MOST_TEXTS = 80 * 1024 * 1024
# A formula whose result was never stored; an empty text is a result.
WITHOUT_RESULT = re.compile(
    rb'<c\b((?:(?!t="str")[^>])*)>\s*<f\b[^>]*(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v>\s*</v>)?\s*</c>'
)
CELL_NAME = re.compile(rb'\br="([A-Z]{1,3}\d{1,7})"')
SHEET_ERRORS = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!")


def read_xlsx(data: bytes) -> ReadSheet:
    """The cells. Raises SheetRefused."""
    with open_packed(data) as archive:
        names = archive.namelist()
        if "xl/workbook.xml" not in names:
            raise SheetRefused("This is no XLSX spreadsheet, though its name says so: save it anew as XLSX.")
        try:
            for name in names:
                if name.endswith((".xml", ".rels")):
                    with archive.open(name) as part:
                        refuse_document_type(part)
        except UNPACKING_FAILED:
            raise SheetRefused(SHEET_DAMAGED) from None
        texts = "xl/sharedStrings.xml"
        if texts in names and archive.getinfo(texts).file_size > MOST_TEXTS:
            raise SheetRefused("Its texts are too much to read at once: part it into several files.")
    return _read(data)


def _read(data: bytes) -> ReadSheet:
    with warnings.catch_warnings():
        # What it leaves out (drawings, checks of input) is nothing of ours.
        warnings.simplefilter("ignore")
        try:
            book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
            return _first_sheet(book, data)
        except SheetRefused:
            raise
        except Exception:
            # The library raises whatever broken parts lead it to; to the person it is always the same thing.
            raise SheetRefused(SHEET_DAMAGED) from None


def _first_sheet(book: Any, data: bytes) -> ReadSheet:
    sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
    empty = SheetRefused("This file is empty: nothing stands in it.")
    for sheet in sheets:
        # What a file says of its own size is not believed.
        sheet.reset_dimensions()
        notes = [f"Of {len(sheets)} sheets the first with something in it was read: {sheet.title}."]
        _refuse_without_results(data, sheet._worksheet_path)
        try:
            return sheet_of(_rows(sheet), notes=notes if len(sheets) > 1 else [])
        except SheetRefused as refused:
            if "is empty" not in str(refused):
                raise
            empty = refused
    raise empty


def _rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    rows = sheet.iter_rows(values_only=True, max_col=MOST_SHEET_COLUMNS + 1)
    for number, row in enumerate(rows, 1):
        if any(value is not None for value in row):
            yield number, [_text(value, number, at) for at, value in enumerate(row)]


def _text(value: Any, number: int, at: int) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        if value in SHEET_ERRORS:
            raise SheetRefused(
                f"Row {number}, column {column_letters(at)} shows the error {value}: put it right first."
            )
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return plain_number(value)
    if isinstance(value, datetime):
        midnight = value.time() == time()
        return value.date().isoformat() if midnight else value.isoformat(" ", "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    return str(value)


def plain_number(value: float) -> str:
    """A number as people write it: 83, 240.5, never 8.3e1; tails of binary fractions are rounded away."""
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    text = f"{value:.15g}"
    return f"{value:f}".rstrip("0") if "e" in text else text


def _refuse_without_results(data: bytes, path: str) -> None:
    """Formulas that a program wrote without working them out would come in as blanks."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open(path.lstrip("/")) as part:
        before = b""
        while more := part.read(1024 * 1024):
            text = before + more
            if found := WITHOUT_RESULT.search(text):
                named = CELL_NAME.search(found[1])
                where = f" {named[1].decode()}" if named else ""
                raise SheetRefused(
                    f"The formula in cell{where} has no stored result: open the file in a spreadsheet "
                    "program and save it once."
                )
            before = text[-4_096:]
