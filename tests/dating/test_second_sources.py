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

HERE = Path(__file__).parent
CORNERS = ("earliest", "common_from", "common_to", "latest")


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def limits(ref: Reference) -> dict[tuple[str, str], int | None]:
    """Every firm limit of the features, by feature and side."""
    found = {}
    for feature in ref.features.values():
        if feature.hard_limit in ("start", "both"):
            found[feature.id, "start"] = feature.earliest or feature.common_from
        if feature.hard_limit in ("end", "both"):
            found[feature.id, "end"] = feature.latest or feature.common_to
    return found


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
    for row in rows("second_sources"):
        assert row["verdict"] in ("agree", "differ", "none found")
        assert row["second_source"] and (row["where"] or row["verdict"] == "none found"), row["id"]


def test_a_limit_that_a_second_source_disputes_says_why(ref: Reference) -> None:
    for row in rows("second_sources"):
        if row["verdict"] == "differ" and (row["id"], row["side"]) in limits(ref):
            assert row["note"], row["id"]


def test_every_year_is_the_one_that_was_copied(ref: Reference) -> None:
    assert moved_years(ref) == []


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
