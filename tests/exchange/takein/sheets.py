"""Sheets for tests: rows of words in each format, and a messy one of 400 rows. All of it is invented."""

import csv
import io
import random

from openpyxl import Workbook

from catalogue.exchange.models import TakeIn
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takein.stored_sheet import begin_take_in

Rows = list[list[object]]
MESSY_ROWS = 400
HEADINGS = [
    "No.",
    "Description",
    "Type",
    "Color",
    "Height",
    "Weight",
    "Base mark",
    "Maker",
    "Town",
    "Year",
    "Date found",
    "Where found",
    "Shelf",
    "Photo",
    "Price paid",
    "Remarks",
]


def csv_of(rows: Rows, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """The rows as CSV."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue().encode(encoding)


def xlsx_of(rows: Rows) -> bytes:
    """The rows as a workbook."""
    book = Workbook()
    for row in rows:
        book.active.append(row)
    for cell in (cell for row in book.active.iter_rows() for cell in row if isinstance(cell.value, str)):
        # Text whatever it begins with: a formula of ours would have no stored result.
        cell.data_type = "s"
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def taken(rows: Rows, name: str = "finds.csv") -> TakeIn:
    """An import that was begun with these rows."""
    data = csv_of(rows) if name.endswith(".csv") else xlsx_of(rows)
    return begin_take_in(name, data, read_sheet(name, data))


def messy(seed: int = 17, rows: int = MESSY_ROWS) -> Rows:
    """A sheet as one keeps it over twenty years: every cell in whatever way came to hand."""
    chance = random.Random(seed)
    made: Rows = [list(HEADINGS)]
    for count in range(1, rows + 1):
        made.append(_messy_row(chance, count))
    return made


def _messy_row(chance: random.Random, count: int) -> list[object]:
    pick = chance.choice
    kind = pick(
        ["Beer", "soda", "Mineral water", "flask", "INK", "medicine", "Codd", "jar", "milk bottle", ""]
    )
    day, month, year = chance.randint(1, 28), chance.randint(1, 12), chance.randint(1998, 2024)
    when = pick(
        [
            f"{day}.{month}.{year}",
            f"{day}/{month}/{year}",
            f"{pick(['Jan', 'Aug', 'Oct'])} {year}",
            f"{year}-{month:02d}",
            f"{year}",
            f"{year}-{month:02d}-{day:02d}",
            f"about {year}",
            "",
        ]
    )
    height = chance.randint(120, 300)
    tall = pick(
        [
            f"{height}mm",
            f"{height / 10:.1f} cm".replace(".", pick([".", ","])),
            '9 1/2"',
            "9½ in",
            "24 cm",
            "",
            str(height),
        ]
    )
    made = pick(["c. 1926–46", "1920s?", "1880-1890", "before 1920", "1905", "ca 1900", "", "Victorian"])
    if count % 40 == 0:
        when = "31.2.2012"
    if count % 50 == 0:
        tall = "tallish"
    return [
        f"B-{count}" if count % 97 else "B-1",
        pick(["aqua", "old", "Chipped", "heavy", "small"]) + f" {kind.lower() or 'bottle'} {count}",
        kind,
        pick(["aqua", "Clear", "dark olive", "amber", "cobalt blue", "", "ice blue"]),
        tall,
        pick(["510 g", "0.5 kg", "1 lb 2 oz", "18oz", ""]),
        pick(["BW", "Q&S", "", "B?"]),
        pick(["Brackwater Bottle Company", "", "", "Brackwatr Bottle"]),
        pick(["Marrowby", "Portland", "", "PORTLAND ME"]),
        made,
        when,
        pick(["Heron Ledge", "heron ledge", "", "Tallow Cove"]),
        pick(["Hall case", "Attic box 3", ""]),
        pick(["", f"IMG_{count:04d}.jpg"]),
        pick(["", "2.50", "swap"]),
        pick(["", "chip on lip", "=SUM(1)", "two lines\nof words"]),
    ]
