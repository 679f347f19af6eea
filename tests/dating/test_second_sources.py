"""Check values: every firm limit against a second source, every year against the librarians' own copy.

``second_sources.csv`` says for each firm limit what a second source has: it agrees, differs (with why the row
stands all the same) or was not found. ``copied_years.csv`` holds the years as they were copied out of the
sources: it is no second source, but a year that moves by a slip of the hand differs from it.
"""

import csv
from pathlib import Path

import pytest

from dating import Reference
from dating.library import TABLE_NAMES, load
from dating.tables import PUBLISHED

from .firm_limits import LIMIT_MOVED, limits, limits_amiss
from .second_sources import Row, lines

HERE = Path(__file__).parent
CORNERS = ("earliest", "common_from", "common_to", "latest")


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def moved_limits(ref: Reference) -> list[tuple[str, str]]:
    """The firm limits that are not those which were checked."""
    checked = {(row["id"], row["side"]): int(row["year"]) for row in rows("second_sources")}
    return [key for key, year in limits(ref).items() if checked.get(key) != year]


def moved_years(ref: Reference) -> list[str]:
    """Rows whose years differ from the copy, or are not in it."""
    copied = {(row["kind"], row["id"]): tuple(row[name] for name in CORNERS) for row in rows("copied_years")}
    found = {("feature", f.id): tuple(getattr(f, name) for name in CORNERS) for f in ref.features.values()}
    found |= {("mark", m.id): (m.used_from, None, None, m.used_to) for m in ref.marks.values()}
    words = {key: tuple("" if year is None else str(year) for year in years) for key, years in found.items()}
    return [name for (kind, name), years in words.items() if copied.get((kind, name)) != years]


def test_every_firm_limit_is_the_one_that_was_checked(ref: Reference) -> None:
    assert moved_limits(ref) == []
    assert limits_amiss(ref) == []


def test_no_tolerance_hides_a_move_of_twenty_years(ref: Reference) -> None:
    for (name, side), year in limits(ref).items():
        line = next(one for one in lines("second_sources") if (one["id"], one["side"]) == (name, side))
        if line["found"]:
            assert year is not None
            assert abs(year - int(line["found"])) + int(line["tolerance"]) < LIMIT_MOVED + 5, name


@pytest.mark.parametrize(
    ("name", "changed", "said"),
    [
        ("federal-law-forbids", {"found": "1925"}, "1935 in the table, 1925 in"),
        ("federal-law-forbids", {"verdict": "perhaps"}, "unknown verdict"),
        ("federal-law-forbids", {"verdict": "none found"}, "a year, but nothing found"),
        ("federal-law-forbids", {"where": ""}, "no second source, or not where in it"),
        ("federal-law-forbids", {"tolerance": "6"}, "agrees with a tolerance of 6 years"),
        ("valve-mark", {"note": ""}, "differs without saying why"),
        ("loop-seal", {"second_source": "William Painter's Baltimore Loop Seal"}, "is the row's own"),
        ("loop-seal", {"id": "nothing"}, "loop-seal start: no line in second_sources.csv"),
    ],
)
def test_a_line_that_proves_nothing_is_refused(ref: Reference, name: str, changed: Row, said: str) -> None:
    given = [{**line, **changed} if line["id"] == name else line for line in lines("second_sources")]
    assert any(said in problem for problem in limits_amiss(ref, given))


def test_every_year_is_the_one_that_was_copied(ref: Reference) -> None:
    assert moved_years(ref) == [], "no such line in tests/dating/copied_years.csv, or other years there"


@pytest.mark.parametrize(
    ("table", "name", "old", "new"),
    [
        ("features", "federal-law-forbids", ",1935,1935,1964,", ",1925,1935,1964,"),
        ("features", "suction-scar", ",1905,1910,1950,", ",1885,1910,1950,"),
        ("features", "blowpipe-pontil", ",1800,1855,1870,", ",1800,1855,1890,"),
        ("features", "crown-finish", ",1892,1905,", ",1882,1905,"),
        ("features", "drgm-de", ",1891,1895,", ",1881,1895,"),
        ("features", "machine-seam-uk", ",1886,1915,", ",1896,1915,"),
        ("features", "government-warning-us", ",1989,1990,", ",1979,1990,"),
        ("features", "postcode-ca", ",1971,1975,", ",1961,1975,"),
        ("features", "stubby-ca", ",1961,1962,", ",1951,1962,"),
        ("marks", "liberty-lg", ",1934,1994,", ",1894,1994,"),
        ("marks", "agnew-a", ",1854,1866,", ",1854,1906,"),
    ],
)
def test_a_moved_year_is_noticed(table: str, name: str, old: str, new: str) -> None:
    texts = {each: PUBLISHED.text(each) for each in TABLE_NAMES}
    lines = texts[table].splitlines(keepends=True)
    number = next(n for n, line in enumerate(lines) if line.startswith(f"{name},"))
    assert old in lines[number]
    lines[number] = lines[number].replace(old, new)
    texts[table] = "".join(lines)
    spoilt = load(texts)
    assert name in moved_years(spoilt)
    if table == "features" and spoilt.features[name].hard_limit != "none":
        assert (name, "start") in moved_limits(spoilt)
