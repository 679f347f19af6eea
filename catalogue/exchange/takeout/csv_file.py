"""Finds as CSV (RFC 4180), UTF-8 with a byte order mark, so that spreadsheet programs read it as such."""

import csv
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from .columns import SheetCell, columns_for
from .formulas import quoted
from .rows import FindRow

BYTE_ORDER_MARK = "\ufeff"


class _Line:
    """What `csv` writes into: keeps the one line written last."""

    text = ""

    def write(self, text: str) -> None:
        self.text = text


def csv_lines(rows: Iterable[FindRow], *, public: bool) -> Iterator[str]:
    """The file line by line: headings, then one line a find."""
    columns, line = columns_for(public=public), _Line()
    writer = csv.writer(line)
    writer.writerow([column.heading for column in columns])
    yield BYTE_ORDER_MARK + line.text
    for row in rows:
        writer.writerow([_cell_of(column.cell(row)) for column in columns])
        yield line.text


def _cell_of(cell: SheetCell) -> str:
    """A number may begin with a minus; a text may not."""
    return quoted(plain_cell(cell)) if isinstance(cell, str) else plain_cell(cell)


def plain_cell(cell: SheetCell) -> str:
    """A cell as text: numbers with a point, days as ISO 8601."""
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell.normalize():f}"
    if isinstance(cell, date):
        return cell.isoformat()
    return cell.replace("\x00", "") if isinstance(cell, str) else str(cell)
