"""EDTF at the level of years: every case understood as published, or refused with a reason."""

import csv
from pathlib import Path

import pytest
from edtf import parse_edtf

from dating import EdtfError, edtf

with (Path(__file__).parent / "edtf_cases.csv").open(encoding="utf-8", newline="") as file:
    CASES = list(csv.DictReader(file))
VALID = [case for case in CASES if case["validity"] == "valid"]
INVALID = [case for case in CASES if case["validity"] == "invalid"]


def beyond_us(text: str) -> bool:
    """Finer than a year, all-of sets, years of more than four digits: refused on purpose."""
    bare = text.replace("..", "")
    finer = "-" in bare.lstrip("-[{") and not bare.startswith("Y")
    return finer or text.startswith(("{", "Y"))


def test_there_are_cases() -> None:
    assert (len(VALID), len(INVALID)) == (70, 37)
    assert 25 < sum(not beyond_us(case["string"]) for case in VALID) < 60


@pytest.mark.parametrize("case", [c for c in VALID if not beyond_us(c["string"])], ids=lambda c: c["string"])
def test_understood(case: dict[str, str]) -> None:
    read = edtf.parse(case["string"])
    assert ("" if read.earliest is None else str(read.earliest)) == case["earliest_year"]
    assert ("" if read.latest is None else str(read.latest)) == case["latest_year"]
    listed = case["candidate_years"]
    if listed and listed.replace(",", "").isdigit():
        assert read.candidates == tuple(map(int, listed.split(",")))
    elif listed.replace("..", "").isdigit():
        low, high = map(int, listed.split(".."))
        assert read.candidates == tuple(range(low, high + 1))
    elif case["string"] == "1XX7":
        assert read.candidates == tuple(range(1007, 2000, 10))


@pytest.mark.parametrize("case", [c for c in VALID if beyond_us(c["string"])], ids=lambda c: c["string"])
def test_refused_plainly(case: dict[str, str]) -> None:
    with pytest.raises(EdtfError) as caught:
        edtf.parse(case["string"])
    assert any(
        word in str(caught.value) for word in ("finer than a year", "all of a set", "more than four digits")
    )


@pytest.mark.parametrize("case", INVALID, ids=lambda c: c["string"] or "empty")
def test_invalid(case: dict[str, str]) -> None:
    with pytest.raises(EdtfError) as caught:
        edtf.parse(case["string"])
    assert len(str(caught.value)) > 15


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1930s", "193X"),
        ("193x", "capital X"),
        ("1940-1952", "slash"),
        ("1984?~", "%"),
        ("1940/open", "open end"),
        ("1940..1952", "within [ ]"),
        ("1926,1936", "[1926,1936]"),
        ("1985-13", "neither a month"),
        ("1985-04-41", "no such day"),
        ("1985/04/12", "slash"),
        ("[1926,1936", "ends with ]"),
        ("1952/1937", "before it begins"),
        ("195XS2", "do not go together"),
        ("[1940..1930]", "backwards"),
        ("[1000..1900]", "too many"),
        ("[XXXX]", "too many"),
        ("[]", "four figures"),
        ("[..1920,..1930]", "first or last"),
        ("Y170000002", "more than four digits"),
    ],
)
def test_reasons(text: str, reason: str) -> None:
    with pytest.raises(EdtfError) as caught:
        edtf.parse(text)
    assert reason in str(caught.value)


@pytest.mark.parametrize(
    ("start", "end", "written"),
    [(1937, 1952, "1937/1952"), (1940, 1940, "1940"), (1938, None, "1938/.."), (None, 1952, "../1952")],
)
def test_written_and_judged_by_the_published_package(
    start: int | None, end: int | None, written: str
) -> None:
    assert edtf.write(start, end) == written
    judged = parse_edtf(written)
    if start is not None:
        assert judged.lower_strict()[0] == start
    if end is not None:
        assert judged.upper_strict()[0] == end
    assert (edtf.parse(written).earliest, edtf.parse(written).latest) == (start, end)


@pytest.mark.parametrize(
    ("years", "written"),
    [
        ([1926, 1936, 1946], "[1926,1936,1946]"),
        ([1946, 1926], "[1926,1946]"),
        ([1940, 1941, 1942, 1950], "[1940..1942,1950]"),
        ([1940, 1941], "[1940,1941]"),
        ([1940], "1940"),
    ],
)
def test_one_of_sets(years: list[int], written: str) -> None:
    assert edtf.write_years(years) == written
    assert edtf.parse(written).candidates == tuple(sorted(years))
    if len(years) > 1:
        assert parse_edtf(written).upper_strict()[0] == max(years)


def test_doubt_is_kept() -> None:
    assert edtf.write(1926, 1946, "?", "~") == "1926?/1946~"
    assert edtf.write_years([1926, 1936, 1937, 1938], "?") == "[1926?,1936?,1937?,1938?]"
    read = edtf.parse("1930~/1945?")
    assert (read.start_approximate, read.end_approximate, read.end_uncertain) == (True, False, True)
    assert edtf.parse("1935%").start_approximate and edtf.parse("1935%").start_uncertain


def test_open_and_unknown_ends_differ() -> None:
    assert edtf.parse("1985/").end_unknown
    assert not edtf.parse("1985/..").end_unknown
    assert edtf.parse("[1926,1936]").separate == (1926, 1936)
    assert edtf.parse("193X").separate == ()


@pytest.mark.parametrize("ends", [(None, None), (1950, 1940)])
def test_what_cannot_be_written(ends: tuple[int | None, int | None]) -> None:
    with pytest.raises(EdtfError):
        edtf.write(*ends)
    with pytest.raises(EdtfError):
        edtf.write_years([])
