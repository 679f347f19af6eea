"""A spreadsheet read by what its name says it is: CSV, XLSX or ODS."""

from pathlib import PurePath

from .read_csv import read_csv
from .read_ods import read_ods
from .read_xlsx import read_xlsx
from .sheet import MOST_SHEET_BYTES, ReadSheet, SheetRefused

READERS = {
    ".csv": read_csv,
    ".tsv": read_csv,
    ".txt": read_csv,
    ".xlsx": read_xlsx,
    ".xlsm": read_xlsx,
    ".ods": read_ods,
}


def read_sheet(name: str, data: bytes) -> ReadSheet:
    """Headings and rows. Raises SheetRefused, whatever the bytes are."""
    if not data:
        raise SheetRefused("This file is empty: nothing stands in it.")
    if len(data) > MOST_SHEET_BYTES:
        raise SheetRefused(
            f"This file is larger than {MOST_SHEET_BYTES // 1024 // 1024} MB: part it into several."
        )
    ending = PurePath(name.replace("\\", "/")).suffix.lower()
    if ending == ".xls":
        raise SheetRefused("An old spreadsheet (XLS) is not read: open it, and save it as XLSX.")
    if ending not in READERS:
        raise SheetRefused("Its name doesn't end in .csv, .xlsx or .ods: save it as one of these.")
    return READERS[ending](data)
