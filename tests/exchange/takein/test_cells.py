"""Cells as people write them, and which column is what."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.quantities import LENGTH
from catalogue.exchange.takein.cell_words import (
    CellRefused,
    DayOrder,
    TwoDaysFit,
    WhenSaid,
    read_choice,
    read_when,
    read_yes,
    years_as_edtf,
)
from catalogue.exchange.takein.lettering_cells import features_of, inscriptions_of, opinions_of
from catalogue.exchange.takein.matching import (
    guess_columns,
    read_position,
    unit_in,
    wants_order,
    wants_unit,
)
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takein.sheet_fields import SHEET_FIELDS
from dating import edtf

from .sheets import csv_of, messy

TODAY = datetime.date(2026, 11, 29)


@pytest.mark.parametrize(
    ("cell", "day"),
    [
        ("2019-08-03", "2019-08-03"),
        ("2019/8/3", "2019-08-03"),
        ("2019-08-03 14:05", "2019-08-03"),
        ("3.8.2019", "2019-08-03"),
        ("03.08.19", "2019-08-03"),
        ("3 Aug 2019", "2019-08-03"),
        ("3rd of August, 2019", "2019-08-03"),
        ("3-Aug-98", "1998-08-03"),
        ("August 3, 2019", "2019-08-03"),
        ("Sept 3 '19", "2019-09-03"),
        ("25/4/2019", "2019-04-25"),
        ("4/25/2019", "2019-04-25"),
        ("4/4/2019", "2019-04-04"),
    ],
)
def test_days(cell: str, day: str) -> None:
    assert read_when(cell, None, TODAY) == WhenSaid(datetime.date.fromisoformat(day))


@pytest.mark.parametrize(
    ("cell", "years", "finer"),
    [
        ("Aug 2019", "2019", "Aug 2019"),
        ("2019-08", "2019", "2019-08"),
        ("8/2019", "2019", "8/2019"),
        ("2019", "2019", ""),
        ("1990s", "199X", ""),
        ("about 1995", "1995~", ""),
        ("1990-95", "1990/1995", ""),
    ],
)
def test_months_and_years(cell: str, years: str, finer: str) -> None:
    assert read_when(cell, None, TODAY) == WhenSaid(years=years, finer=finer)


def test_a_day_that_may_be_two_needs_an_order() -> None:
    with pytest.raises(TwoDaysFit, match="3 Apr or 4 Mar"):
        read_when("3/4/2019", None, TODAY)
    assert read_when("3/4/2019", DayOrder.DAY_FIRST, TODAY).day == datetime.date(2019, 4, 3)
    assert read_when("3/4/2019", DayOrder.MONTH_FIRST, TODAY).day == datetime.date(2019, 3, 4)


@pytest.mark.parametrize(
    "cell", ["31.2.2019", "2027-01-01", "2030", "soon", "12/98", "43680.5", "0000-00-00"]
)
def test_days_that_are_none(cell: str) -> None:
    with pytest.raises(CellRefused):
        read_when(cell, None, TODAY)


@given(st.dates(datetime.date(1900, 1, 1), TODAY))
def test_every_day_is_read_back(day: datetime.date) -> None:
    written = [day.isoformat(), f"{day.day}.{day.month}.{day.year}", f"{day:%B} {day.day}, {day.year}"]
    assert {read_when(text, None, TODAY).day for text in written} == {day}


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("c. 1926–46", "1926~/1946~"),
        ("1920s?", "192X?"),
        ("c1900", "1900~"),
        ("1880-1890", "1880/1890"),
        ("1880s-90s", "1880/1899"),
        ("before 1920", "../1919"),
        ("until 1920", "../1920"),
        ("after 1900", "1901/.."),
        ("1900+", "1900/.."),
        ("19th century", "18XX"),
        ("[1926,1936]", "[1926,1936]"),
        ("192X~", "192X~"),
        ("1926/1946~", "1926/1946~"),
    ],
)
def test_years(cell: str, said: str) -> None:
    assert years_as_edtf(cell) == said
    edtf.parse(said)


@pytest.mark.parametrize("cell", ["Victorian", "old", "1926-08-01", ""])
def test_years_that_are_none(cell: str) -> None:
    with pytest.raises(CellRefused):
        years_as_edtf(cell)


@pytest.mark.parametrize(
    ("key", "cell", "said"),
    [
        ("kind", "Soda", "soda"),
        ("kind", "mineral bottle", "soda"),
        ("kind", "Flasks", "flask"),
        ("kind", "Codd", "soda"),
        ("colour", "Clear", "colourless"),
        ("colour", "amber or brown", "amber"),
        ("colour", "milk glass", "milk-glass"),
        ("lie", "half-buried", "half-buried"),
        ("standing", "free to take", "free"),
    ],
)
def test_words_of_a_list(key: str, cell: str, said: str) -> None:
    field = SHEET_FIELDS[key]
    assert field.choices and read_choice(cell, field.choices, field.also) == said


def test_words_that_no_list_has_and_words_of_two_choices() -> None:
    for cell in ("bottle", "spaceship"):
        with pytest.raises(CellRefused):
            read_choice(cell, SHEET_FIELDS["kind"].choices or {})
    with pytest.raises(CellRefused):
        read_yes("perhaps")
    assert read_yes("Y") and not read_yes("0")


def test_lettering_is_told_apart_only_where_each_word_is_known() -> None:
    assert inscriptions_of("heel, embossed: QUILL / & SONS | Note: 5")[0] == {
        "where": "heel",
        "how": "embossed",
        "says": "other",
        "text": "QUILL / & SONS",
    }
    assert inscriptions_of("Note: 5")[0]["text"] == "Note: 5"
    assert inscriptions_of("two\nlines")[0]["text"] == "two / lines"


def test_signs_and_opinions_name_what_is_known() -> None:
    assert features_of("worn, probable: Crown cap", {"crown cap": "crown"}) == [
        {"feature": "crown", "certainty": "probable", "note": "worn"}
    ]
    for cell in ("Crown", "Crown cap; Crown cap"):
        with pytest.raises(CellRefused):
            features_of(cell, {"crown cap": "crown"})
    [one] = opinions_of("made: 1930s (2024-06-01)", {})
    assert (one.about, one.value, one.on) == ("made", "1930s", datetime.date(2024, 6, 1))
    for cell in ("maker: Nobody (2024-06-01)", "1930s", "made: x (2024-13-01)"):
        with pytest.raises(CellRefused):
            opinions_of(cell, {})


@pytest.mark.parametrize("cell", ["44.5, -75.25", "44° 30' N 75° 15' W", "44° 30' N, 75° 15' W"])
def test_a_position_in_one_cell(cell: str) -> None:
    assert read_position(cell) == (44.5, -75.25)


def test_a_unit_in_the_heading() -> None:
    said = {
        "Height, mm": "mm",
        "Height (cm)": "cm",
        "Height in inches": "inches",
        "Height": "",
        "Bore [in]": "in",
    }
    assert {heading: unit_in(heading, LENGTH) for heading in said} == said
    assert wants_unit("height_mm", "Height", ["24 cm", "9 1/2"]) and not wants_unit(
        "height_mm", "Height", ["24 cm"]
    )
    assert not wants_unit("height_mm", "Height (cm)", ["24"])


def test_what_is_asked_of_a_column_of_days() -> None:
    assert wants_order("dived_on", ["3/4/2019", "25/4/2019", "2019"], TODAY) == ("3/4/2019", 1, 0)
    assert wants_order("dived_on", ["25/4/2019", "4/4/2019"], TODAY) is None
    assert wants_order("what", ["3/4/2019"], TODAY) is None


def test_columns_of_a_messy_sheet_are_known_by_name_and_by_what_is_in_them() -> None:
    rows = messy(rows=40)
    rows[0][10] = "Wann"
    rows[0][13] = "Bild"
    sheet = read_sheet("messy.csv", csv_of(rows))
    keys = {each.heading: each.key for each in guess_columns(sheet)}
    assert keys == {
        "No.": "own_number",
        "Description": "what",
        "Type": "kind",
        "Color": "colour",
        "Height": "height_mm",
        "Weight": "mass_g",
        "Base mark": "mark",
        "Maker": "maker",
        "Town": "town",
        "Year": "made",
        "Wann": "dived_on" if keys["Wann"] == "dived_on" else "note",
        "Where found": "site",
        "Shelf": "shelf",
        "Bild": "pictures",
        "Price paid": "note",
        "Remarks": "notes",
    }


def test_a_column_by_what_is_in_it_and_none_twice() -> None:
    rows: list[list[object]] = [
        ["x", "y", "z", "What", "Name", "q"],
        ["2024.1.1", "3.8.2019", "24 cm", "Jar", "blue", "chip"],
        ["2024.1.2", "4 Aug 2019", '9"', "Ink", "amber", "none"],
    ]
    keys = [each.key for each in guess_columns(read_sheet("f.csv", csv_of(rows)))]
    assert keys == ["number", "dived_on", "height_mm", "what", "note", "note"]
