"""A spreadsheet taken in over HTTP while the server is killed: acknowledged it is there whole, or not at all.

Some are long enough to be written in the background: nobody is told that these are there, and all the same
none may be there by half.
"""

from pathlib import Path

from tests.attacks._catalogue import Browser, rows
from tests.posted import forms_in

TAKE_IN = "/safekeeping/take-in/"
FEW, MANY = 6, 160
EVERY_MANY = 8


def import_one(window: Browser, seed: int) -> bool:
    """Take in one sheet; whether the catalogue said that it was kept."""
    count = MANY if seed % EVERY_MANY == 0 else FEW
    sheet = "What,Height (mm),Notes\n" + "".join(
        f"{_what(seed, row)},{100 + row},sheet {seed} of {count}\n" for row in range(count)
    )
    page = forms_in(window.get(TAKE_IN).text)
    values = next(values for said, values in page if "multipart" in said.get("enctype", ""))
    columns = window.post(TAKE_IN, dict(values), [(f"s{seed}.csv", sheet.encode())], name="file").location
    if not columns:
        return False
    rows_page = window.send(columns, "stage").location
    if not rows_page:
        return False
    address, values = window.opened(rows_page, "shown")
    return window.post(address, {**values, "how": "all"}).status == 302 and count == FEW


def imported_by_half(folder: Path) -> list[str]:
    """Imports of which only some rows are there, or that are there and not noted as done, or the reverse."""
    there = {
        row["notes"]: row["count"]
        for row in rows(
            folder,
            "select notes, count(*) count from specimens_specimen where notes like 'sheet %' group by 1",
        )
    }
    half = [
        f"{count} rows of {notes}" for notes, count in there.items() if count != int(notes.rsplit(" ", 1)[1])
    ]
    done = {
        row["name"]: row["count"]
        for row in rows(
            folder,
            "select name, count(r.id) count from exchange_takein t "
            "left join exchange_takenrow r on r.take_in_id = t.id where done_at is not null group by t.id",
        )
    }
    noted = {f"s{notes.split()[1]}.csv": count for notes, count in there.items()}
    return half + [f"{name}: noted {done.get(name)}, there {noted.get(name)}"
                   for name in {*done, *noted} if done.get(name) != noted.get(name)]  # fmt: skip


def _what(seed: int, row: int) -> str:
    return f"imported {seed}" if row == 0 else f"imported {seed} no {row + 1}"
