"""The published tables with invented marks added, each as common as wanted."""

import csv
import io
import random

from dating import Reference, reference
from dating.library import TABLE_NAMES, load
from dating.tables import MARK_COLUMNS, PUBLISHED

Row = dict[str, str]


def mark(name: str, letters: str, start: int, end: int, **given: str) -> Row:
    """One row of marks.csv of a maker of its own."""
    row = dict.fromkeys(MARK_COLUMNS, "")
    source = next(iter(reference().sources))
    row |= {"id": name, "letters": letters, "maker": f"Maker {name}", "basis": "published", "source": source}
    return row | {"used_from": str(start), "used_to": str(end)} | given


def grown(rows: list[Row], commonness: str) -> Reference:
    """The tables and these marks, all ``few``, ``some`` or ``many``."""
    texts = {name: PUBLISHED.text(name) for name in TABLE_NAMES}
    grounds = {"commonness": commonness, "source": "", "basis": "ours", "note": "invented"}
    texts["marks"] += _lines(texts["marks"], rows)
    texts["commonness"] += _lines(texts["commonness"], [{"mark": row["id"], **grounds} for row in rows])
    return load(texts)


def _lines(table: str, rows: list[Row]) -> str:
    out = io.StringIO()
    csv.DictWriter(out, next(csv.reader(io.StringIO(table)))).writerows(rows)
    return out.getvalue()


def invented(number: int, seed: int = 1) -> list[Row]:
    """Marks of two to four letters, letters and years as in the tables, each of a maker of its own."""
    chance = random.Random(seed)
    known = [m for m in reference().marks.values() if m.used_from and m.used_to]
    letters = "".join(m.letters for m in known)
    rows = []
    for n in range(number):
        years = chance.choice(known)
        assert years.used_from and years.used_to
        word = "".join(chance.choices(letters, k=chance.choice((2, 3, 4))))
        rows.append(mark(f"invented-{n}", word, years.used_from, years.used_to, frame=years.frame))
    return rows
