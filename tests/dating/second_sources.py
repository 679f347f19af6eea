"""Check values of marks and date codes from second sources: what they say, and what of it is amiss.

``second_sources_marks.csv`` has a line for each side of every mark's window: the year that another page or
work gives, how far the row may be from it, and the verdict. ``agree``: within at most ten years. ``differ``:
further off; the note says why the row stands, and it may not drift further. ``none found``: a moved year is
noticed by ``copied_years.csv`` alone. ``second_sources_codes.csv`` does the like for date codes, where a
worked example of the row's own source (``example``) may stand in. A work that was read only as another quotes
it says so (``as quoted``); it may be quoted by the row's own source, where that names it with the year.
"""

import csv
import re
from collections.abc import Iterable
from pathlib import Path

from dating import Reference
from dating.codes import years_allowed
from dating.facts import Source
from dating.tables import Mark

HERE = Path(__file__).parent
LAXEST = 10  # years of tolerance at which two sources still agree
MOVED = 40  # a move of so many years has to be noticed
VERDICTS = ("agree", "differ", "none found")
Row = dict[str, str]


def lines(name: str) -> list[Row]:
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def year_of(mark: Mark, side: str) -> int | None:
    return mark.used_from if side == "from" else mark.used_to


def of_the_same_source(line: Row, sources: Iterable[Source]) -> bool:
    """The second source is one of the row's own: same author and same title."""
    said = line["second_source"].casefold()
    for source in sources:
        author = re.split(r"[,;(]", source.author)[0].strip().casefold()
        if source.title.casefold() in said and author in said:
            return True
    return False


def by_the_same_hands(line: Row, sources: Iterable[Source]) -> bool:
    """Another work, but its first author is an author of the row's own source."""
    first = line["second_source"].split(",")[0].split(" and ")[0].casefold()
    return any(first in source.author.casefold() for source in sources)


def amiss(ref: Reference, given: list[Row] | None = None) -> list[str]:
    """What is wrong with the lines for marks, in words; nothing where all is well."""
    given = lines("second_sources_marks") if given is None else given
    wanted = {(mark_id, side) for mark_id in ref.marks for side in ("from", "to")}
    keys = [(line["id"], line["side"]) for line in given]
    found = [f"{key[0]} {key[1]}: there is no such mark and side" for key in keys if key not in wanted]
    found += [
        f"{mark} {side}: no line in second_sources_marks.csv (“none found” is one)"
        for mark, side in sorted(wanted - set(keys))
    ]
    found += [f"{mark} {side}: two lines" for mark, side in set(keys) if keys.count((mark, side)) > 1]
    for line, key in zip(given, keys, strict=True):
        if key in wanted:
            found += [f"{key[0]} {key[1]}: {said}" for said in _line_amiss(line, ref.marks[key[0]], ref)]
    return found


def _line_amiss(line: Row, mark: Mark, ref: Reference) -> list[str]:
    if line["verdict"] not in VERDICTS:
        return [f"unknown verdict “{line['verdict']}”"]
    if line["verdict"] == "none found":
        return ["a year, but nothing found"] if line["year"] or line["second_source"] else []
    if not (line["second_source"] and line["where"]):
        return ["no second source, or not where in it"]
    own = [ref.sources[key] for key in mark.source.split(";")]
    year, checked, tolerance = year_of(mark, line["side"]), int(line["year"]), int(line["tolerance"])
    found = []
    if of_the_same_source(line, own):
        found.append("the second source is the row's own")
    if year is None or abs(year - checked) > tolerance:
        found.append(f"{year} in the table, {checked} in {line['second_source']}")
    if (line["verdict"] == "agree") != (tolerance <= LAXEST):
        found.append(f"{line['verdict']} with a tolerance of {tolerance} years")
    if line["verdict"] == "differ" and not line["note"]:
        found.append("differs without saying why the row stands")
    return found


def at_second_hand(line: Row) -> bool:
    """The second source was read only as another work quotes it."""
    return any("quot" in line[cell] for cell in ("second_source", "where"))


def share_checked(ref: Reference) -> dict[str, float]:
    """How much of the marks' windows a second source bears out: by side, mark, other hands, read itself."""
    checked = [line for line in lines("second_sources_marks") if line["year"]]
    others = [
        line
        for line in checked
        if not by_the_same_hands(line, [ref.sources[key] for key in ref.marks[line["id"]].source.split(";")])
    ]
    sides = 2 * len(ref.marks)
    codes = {line["id"] for line in lines("second_sources_codes") if line["verdict"] != "none found"}
    return {
        "sides": len(checked) / sides,
        "sides by other authors": len(others) / sides,
        "sides read themselves": len([line for line in checked if not at_second_hand(line)]) / sides,
        "marks": len({line["id"] for line in checked}) / len(ref.marks),
        "codes": len(codes) / len(ref.date_codes),
    }


def codes_amiss(ref: Reference, given: list[Row] | None = None) -> list[str]:
    """What is wrong with the lines for date codes, in words."""
    given = lines("second_sources_codes") if given is None else given
    found = [
        f"{code}: no line in second_sources_codes.csv"
        for code in sorted(set(ref.date_codes) - {line["id"] for line in given})
    ]
    for line in given:
        if line["id"] not in ref.date_codes:
            found.append(f"{line['id']}: there is no such code")
        elif line["verdict"] not in (*VERDICTS, "example"):
            found.append(f"{line['id']}: unknown verdict “{line['verdict']}”")
        elif line["verdict"] != "none found":
            found += [f"{line['id']}: {said}" for said in _code_amiss(line, ref)]
    return found


def _code_amiss(line: Row, ref: Reference) -> list[str]:
    code = ref.date_codes[line["id"]]
    own = [ref.sources[key] for key in code.source.split(";")]
    if line["verdict"] != "example" and (not line["where"] or of_the_same_source(line, own)):
        return ["the second source is the row's own, or without a place"]
    if line["side"] == "reads":
        wanted = (int(line["year"]),) if line["year"] else ()
        read = years_allowed(code, line["characters"], 1600, 2026)
        return [] if read == wanted else [f"{line['characters']} reads {read}, not {wanted}"]
    year = code.valid_from if line["side"] == "from" else code.valid_to
    if year is None or abs(year - int(line["year"])) > min(int(line["tolerance"]), LAXEST):
        return [f"{line['side']} {year}, {line['year']} in {line['second_source']}"]
    return []
