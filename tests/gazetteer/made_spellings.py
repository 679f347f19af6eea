"""Make `moulded_spellings.csv` anew: 200 spellings by our own rules, of listed towns drawn with a fixed seed.

`python -m tests.gazetteer.made_spellings`. The rules: in capitals with the abbreviation of the state,
province or country as it was cut, with points and without; ST., FT., MT., P'T; behind a firm's name; one
letter lost and marked (`B?STON`), lost and left open (`B STON`), lost unsaid (`BSTON`), or read as one that
it resembles when worn.
"""

import csv
import random
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from catalogue.specimens.embossed_place import PLACE_FACTS
from catalogue.specimens.town_files.store import EXTRACT, open_file
from dating.edit_distance import ALIKE

TARGET = Path(__file__).resolve().parent / "moulded_spellings.csv"
SEED, EACH = 1884, 20
FIRMS = ("QUILL & CO.", "ODGE BROS.", "MARROW & SONS", "THE INCHGATE BREWING CO.", "T. QUARL DRUGGIST")
# Drawn among towns of so many people: where a bottler may have been.
LEAST_PEOPLE = 2_500
Town = tuple[str, str, str]


def abbreviations() -> dict[tuple[str, str], list[str]]:
    """How each region and country may be cut: its name, and what the table has for it."""
    found: dict[tuple[str, str], list[str]] = {}
    for cells in PLACE_FACTS.rows("place_abbreviations", ("country", "region", "name", "spellings")):
        written = [each for each in (*cells.several("spellings"), cells.text("name")) if each]
        found.setdefault((cells.text("country"), cells.text("region")), []).extend(written)
    return found


def towns(file: sqlite3.Connection) -> list[Town]:
    """Listed towns that may be drawn, with the region and country beside them."""
    query = (
        "SELECT t.name, r.region, r.country FROM towns t JOIN regions r ON r.id=t.region "
        "WHERE t.population>=? AND r.country IN ('US','CA','AU') ORDER BY t.id"
    )
    return list(file.execute(query, (LEAST_PEOPLE,)))


def spellings(rows: list[Town], chance: random.Random) -> Iterator[tuple[str, str, Town]]:
    """Rule, what was cut, and the town that is meant."""
    short = abbreviations()

    def cut(town: Town) -> str:
        name, region, country = town
        written = chance.choice([each for each in short[country, region] if len(each) > 1 or country == "US"])
        points = chance.choice((".", ""))
        return f"{name.upper()}{chance.choice((', ', ' '))}{written.upper()}{points}"

    def drawn(fit: str = "", letters: int = 5) -> Town:
        while True:
            town = chance.choice(rows)
            if len(town[0]) >= letters and town[0].startswith(fit) and town[0].replace(" ", "").isalpha():
                return town

    def spoiled(how: str) -> tuple[str, Town]:
        town = drawn(letters=6)
        name = town[0].upper()
        at = chance.randrange(1, len(name) - 1)
        while name[at] == " " or how == "worn" and name[at] not in ALIKE:
            at = chance.randrange(1, len(name) - 1)
            if how == "worn" and not set(name[1:-1]) & set(ALIKE):
                return spoiled(how)
        new = {"marked": "?", "open": " ", "unsaid": ""}.get(how)
        if new is None:
            new = chance.choice(sorted(each for each in ALIKE[name[at]]))
        return cut(town).replace(name, name[:at] + new + name[at + 1 :], 1), town

    for _ in range(EACH * 2):
        town = drawn()
        yield "abbreviated", cut(town), town
    for fit, written in (("Saint ", "ST. "), ("Fort ", "F'T "), ("Mount ", "MT. "), ("Port ", "P'T ")):
        for _ in range(EACH // 4):
            town = drawn(fit)
            yield "short word", cut(town).replace(fit.upper(), written, 1), town
    for _ in range(EACH * 2):
        town = drawn()
        yield "behind a firm", f"{chance.choice(FIRMS)} {cut(town)}", town
    for how, rule in (
        ("marked", "one letter lost, marked"),
        ("open", "one letter lost, left open"),
        ("unsaid", "one letter lost, unsaid"),
        ("worn", "one letter read as another"),
    ):
        for _ in range(EACH + (EACH if how == "marked" else 0)):
            yield rule, *spoiled(how)


def main(target: Path = TARGET) -> None:
    """Draw, and write the table."""
    with closing(open_file(EXTRACT)) as file:
        rows = towns(file)
    made = {typed: (rule, typed, *town) for rule, typed, town in spellings(rows, random.Random(SEED))}
    with target.open("w", encoding="utf-8", newline="") as out:
        write = csv.writer(out, lineterminator="\n")
        write.writerow(["rule", "typed", "name", "region", "country"])
        write.writerows(made.values())
    print(f"{len(made)} spellings")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
