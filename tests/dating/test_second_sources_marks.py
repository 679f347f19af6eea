"""Every maker's window and every date code beside what a second source has: a moved year fails."""

import re

import pytest

from dating import Reference
from dating.library import TABLE_NAMES, load
from dating.tables import PUBLISHED

from .second_sources import LAXEST, MOVED, Row, amiss, codes_amiss, lines, share_checked, year_of

# No less than what was found when the lines were written; README and DEVELOPERS.md name what is printed.
LEAST = {"sides": 0.67, "sides read themselves": 0.56, "marks": 0.81, "codes": 0.89}
CHECKED = [(line["id"], line["side"]) for line in lines("second_sources_marks") if line["year"]]


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return {name: PUBLISHED.text(name) for name in TABLE_NAMES}


def with_line(texts: dict[str, str], table: str, name: str, old: str, new: str) -> Reference:
    """The tables with one row changed."""
    rows = texts[table].splitlines(keepends=True)
    number = next(n for n, row in enumerate(rows) if row.startswith(f"{name},"))
    assert old in rows[number]
    rows[number] = rows[number].replace(old, new)
    return load({**texts, table: "".join(rows)})


def test_every_window_is_what_a_second_source_has_or_says_that_none_was_found(ref: Reference) -> None:
    assert amiss(ref) == []


def test_every_code_reads_as_its_examples_do(ref: Reference) -> None:
    assert codes_amiss(ref) == []


def test_the_share_that_is_checked(ref: Reference) -> None:
    shares = share_checked(ref)
    print("\n".join(f"{name}: {share:.0%}" for name, share in shares.items()))
    assert {name: shares[name] for name, least in LEAST.items() if shares[name] < least} == {}
    assert 0.9 * shares["sides"] < shares["sides by other authors"] <= shares["sides"]


def test_no_tolerance_hides_a_move_of_forty_years(ref: Reference) -> None:
    for line in lines("second_sources_marks"):
        if line["year"]:
            year = year_of(ref.marks[line["id"]], line["side"])
            assert year is not None
            assert abs(year - int(line["year"])) + int(line["tolerance"]) < MOVED, line["id"]


@pytest.mark.parametrize(
    ("mark", "side"),
    [
        ("hazel-atlas-h-over-a", "from"),
        ("whitall-tatum-wtco", "to"),
        ("united-glass-ugb", "to"),
        ("root-dated", "to"),
        ("chattanooga-chatt", "from"),
        ("heitz-fhgw", "to"),
        ("knox-k-keystone", "from"),
        ("rylands-codd-barnsley", "from"),
        ("dominion-d-diamond", "from"),
        ("ball-eclipse", "to"),
        ("ball-script-triple-l", "from"),
        ("ball-script-1933-1962", "to"),
        ("powell-and-ricketts", "from"),
        ("lorenz-wightman-lw", "to"),
    ],
)
@pytest.mark.parametrize("move", [-MOVED, MOVED])
def test_a_mark_moved_by_forty_years_is_noticed(
    texts: dict[str, str], ref: Reference, mark: str, side: str, move: int
) -> None:
    if (mark, side) not in CHECKED:
        pytest.fail(f"{mark} {side} has no second source")
    years = f",{ref.marks[mark].used_from},{ref.marks[mark].used_to},"
    moved = f",{int(ref.marks[mark].used_from or 0) + move},{int(ref.marks[mark].used_to or 0) + move},"
    spoilt = with_line(texts, "marks", mark, years, moved)
    assert any(re.match(rf"{mark} {side}: \d+ in the table", said) for said in amiss(spoilt))


def one_line(mark: str, which: str, changed: Row) -> list[Row]:
    """All lines for marks, one of them changed."""
    return [
        {**line, **changed} if (line["id"], line["side"]) == (mark, which) else line
        for line in lines("second_sources_marks")
    ]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"id": "nobody-xx"}, "nobody-xx from: there is no such mark and side"),
        ({"side": "to"}, "knox-k-keystone from: no line in second_sources_marks.csv"),
        ({"side": "to"}, "knox-k-keystone to: two lines"),
        ({"second_source": "Lockhart, B., Knox Glass Bottle Co."}, "the second source is the row's own"),
        ({"where": ""}, "no second source, or not where in it"),
        ({"verdict": "perhaps"}, "unknown verdict"),
        ({"verdict": "none found"}, "a year, but nothing found"),
        ({"year": "1877"}, "1917 in the table, 1877 in"),
        ({"tolerance": str(LAXEST + 1)}, "agree with a tolerance of 11 years"),
        ({"verdict": "differ", "tolerance": "20"}, "differs without saying why the row stands"),
    ],
)
def test_a_line_that_proves_nothing_is_refused(ref: Reference, changed: Row, said: str) -> None:
    assert any(said in problem for problem in amiss(ref, one_line("knox-k-keystone", "from", changed)))


@pytest.mark.parametrize(
    ("code", "changed", "said"),
    [
        ("liberty-two-digit", {"id": "no-such-code"}, "no-such-code: there is no such code"),
        ("liberty-two-digit", {"id": "maywood-two-digit"}, "liberty-two-digit: no line"),
        ("liberty-two-digit", {"year": "1959"}, "69 reads (1969,), not (1959,)"),
        ("liberty-two-digit", {"verdict": "perhaps"}, "unknown verdict"),
        ("liberty-two-digit", {"verdict": "agree"}, "the second source is the row's own"),
        ("brockway-position", {"year": "1948"}, "to 1988, 1948 in"),
    ],
)
def test_a_code_that_reads_otherwise_is_noticed(ref: Reference, code: str, changed: Row, said: str) -> None:
    given = [{**line, **changed} if line["id"] == code else line for line in lines("second_sources_codes")]
    assert any(said in problem for problem in codes_amiss(ref, given))


def test_a_code_whose_years_are_moved_is_noticed(texts: dict[str, str]) -> None:
    spoilt = with_line(texts, "date_codes", "brandenburg-seal-year", ",1739,1814,", ",1779,1814,")
    assert (
        "brandenburg-seal-year: from 1779, 1739 in Eiszeitstraße, Altes Handwerk: Glashütten"
        in codes_amiss(spoilt)
    )
