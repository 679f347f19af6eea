"""What characters mean under each kind of scheme, and that the rest are mould numbers."""

from typing import Any

import pytest

from dating import Reference
from dating.codes import DateCode, digits_read, read_code, sample, works_named, years_allowed
from dating.facts import Cells


def code(kind: str, valid: tuple[int, int] | None = (1925, 1954), table: str = "", **more: Any) -> DateCode:
    start, end = valid or ("", "")
    row = {
        "id": "x",
        "mark_ids": "",
        "kind": kind,
        "valid_from": start,
        "valid_to": end,
        "table": table,
        **more,
    }
    return read_code(Cells("own date codes", "x", row), None, {})


def years(scheme: DateCode, text: str) -> tuple[int, ...]:
    return years_allowed(scheme, text, 1600, 2026)


@pytest.mark.parametrize(
    ("scheme", "text", "expected"),
    [
        (code("last-digit"), "7", (1927, 1937, 1947)),
        (code("last-digit"), "37", ()),
        (code("last-digit"), "?", tuple(range(1925, 1955))),
        (code("last-two-digits"), "37", (1937,)),
        (code("last-two-digits"), " 3 7 ", (1937,)),
        (code("last-two-digits"), "3?", tuple(range(1930, 1940))),
        (code("last-two-digits"), "3[17]", (1931, 1937)),
        (code("last-two-digits"), "3[1?]", tuple(range(1930, 1940))),
        (code("last-two-digits"), "4O", (1940,)),
        (code("last-two-digits"), "55", ()),
        (code("last-two-digits"), "559", ()),
        (code("last-two-digits"), "1", ()),
        (code("last-two-digits"), "3404", ()),
        (code("full-year", (1739, 1814)), "1746", (1746,)),
        (code("full-year", (1739, 1814)), "17 85", (1785,)),
        (code("full-year", (1739, 1814)), "1946", ()),
        (code("letter-table", table="G=1935;H=1936"), "h", (1936,)),
        (code("letter-table", table="G=1935;H=1936"), "?", (1935, 1936)),
        (code("letter-table", table="G=1935;H=1936"), "X", ()),
        (code("dot-table", table=".=1930s;..=194X;-=1950-1954"), "7.", (1937,)),
        (code("dot-table", table=".=1930s;..=194X;-=1950-1954"), "7 ..", (1947,)),
        (code("dot-table", table=".=1930s;..=194X;-=1950-1954"), "-2", (1952,)),
        (code("dot-table", table=".=1930s;..=194X"), ".", tuple(range(1930, 1940))),
        (code("dot-table", table=".=1930s;..=194X"), "7", ()),
        (code("month-year"), "12 34", (1934,)),
        (code("month-year"), "2-5", (1925, 1935, 1945)),
        (code("month-year"), "234", (1934,)),
        (code("month-year"), "6/1934", (1934,)),
        (code("month-year"), "13 34", ()),
        (code("works-table", table="3=Marrowby,1926-1935;5=Inchgate,1940"), "3", tuple(range(1926, 1936))),
        (code("works-table", table="3=Marrowby,1950-"), "3", (1950, 1951, 1952, 1953, 1954)),
        (code("other"), "7", ()),
        (code("last-digit", None), "7", tuple(range(1607, 2027, 10))),
    ],
)
def test_years_allowed(scheme: DateCode, text: str, expected: tuple[int, ...]) -> None:
    assert years(scheme, text) == expected


def test_published_examples(ref: Reference) -> None:
    assert years(ref.date_codes["liberty-two-digit"], "69") == (1969,)
    assert years(ref.date_codes["glenshaw-lip-letter"], "Y") == (1953,)
    assert years(ref.date_codes["glenshaw-lip-letter"], "A") == (1955,)
    assert years(ref.date_codes["general-glass-last-digit"], "7") == (1937,)
    assert years(ref.date_codes["lynchburg-heel-year"], "20") == (1920,)
    assert years(ref.date_codes["brandenburg-seal-year"], "1785") == (1785,)
    assert years(ref.date_codes["ball-base-mould-number"], "2") == ()
    assert years(ref.date_codes["rylands-4-not-year"], "4") == ()


def test_the_year_on_a_liquor_bottle_outlasts_the_wording_of_the_law(ref: Reference) -> None:
    # Circular 64-18 lets only the wording go; circular 70-32 ends the older moulds with 1970.
    code = ref.date_codes["us-liquor-bottle-year-2"]
    assert years_allowed(code, "67", 1600, 2026) == (1967,)
    assert years_allowed(code, "70", 1600, 2026) == (1970,)
    assert years_allowed(code, "74", 1600, 2026) == ()


def test_what_a_bottle_of_a_year_should_carry() -> None:
    assert sample(code("last-digit"), 1937) == "7"
    assert sample(code("last-two-digits"), 1937) == "37"
    assert sample(code("full-year"), 1937) == "1937"
    assert sample(code("month-year"), 1937) == "6-37"
    assert sample(code("letter-table", table="G=1935"), 1935) == "G"
    assert sample(code("letter-table", table="G=1935"), 1936) == ""
    assert sample(code("dot-table", table=".=193X"), 1937) == "7."
    assert sample(code("last-digit"), 1999) == ""
    assert sample(code("other"), 1937) == ""


def test_every_sample_is_read_back(ref: Reference) -> None:
    own = [
        code("dot-table", table=".=1930s;..=194X"),
        code("month-year"),
        code("works-table", table="3=Quarl,1930"),
    ]
    for scheme in [*ref.date_codes.values(), *own]:
        for year in range(1700, 2020):
            chars = sample(scheme, year)
            assert not chars or year in years(scheme, chars)


def test_characters_read() -> None:
    assert digits_read("6?") == 1
    assert digits_read("[17]9") == 2
    assert digits_read("?") == digits_read("") == 0


def test_works_named_by_a_table() -> None:
    scheme = code("works-table", table="3=Marrowby,1926-1935;5=Inchgate,1940;7=1941")
    assert works_named(scheme, "3") == ("Marrowby",)
    assert works_named(scheme, "7") == ()
    assert works_named(code("last-digit"), "3") == ()
