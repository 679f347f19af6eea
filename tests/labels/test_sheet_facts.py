"""The sheets, papers and cautions of the tables against a second source (facts/labels.md of the project)."""

from fractions import Fraction

import pytest

from catalogue.labels.sheets import PAGES_MM, SHEETS
from catalogue.labels.slip import SLIP_CAUTIONS

# labels.md, "Sheets": columns × rows, label, left and top, pitch, in mm.
SECOND = {
    "letter-30": ("Letter", 3, 10, 66.67, 25.4, 4.76, 12.7, 69.85, 25.4),
    "letter-20": ("Letter", 2, 10, 101.6, 25.4, 3.97, 12.7, 106.36, 25.4),
    "letter-14": ("Letter", 2, 7, 101.6, 33.87, 3.97, 21.17, 106.36, 33.87),
    "letter-10": ("Letter", 2, 5, 101.6, 50.8, 3.97, 12.7, 106.36, 50.8),
    "letter-80": ("Letter", 4, 20, 44.45, 12.7, 7.14, 12.7, 52.39, 12.7),
    "letter-60": ("Letter", 4, 15, 44.45, 16.92, 7.54, 13.49, 51.59, 16.92),
    "letter-18": ("Letter", 3, 6, 60.32, 31.75, 9.46, 28.57, 68.33, 38.1),
    "letter-sq9": ("Letter", 3, 3, 63.5, 63.5, 7.94, 31.75, 68.26, 76.2),
    "a4-21": ("A4", 3, 7, 63.5, 38.1, 7.2, 15.15, 66.0, 38.1),
    "a4-24": ("A4", 3, 8, 70, 37, 0, 0.5, 70, 37),
    "a4-14": ("A4", 2, 7, 99.1, 38.1, 4.65, 15.15, 101.6, 38.1),
    "a4-16": ("A4", 2, 8, 99.1, 33.9, 3.99, 12.98, 102.48, 33.9),
    "a4-40": ("A4", 4, 10, 48.5, 25.4, 8.0, 21.5, 48.5, 25.4),
    "a4-65": ("A4", 5, 13, 38.1, 21.2, 4.7, 10.9, 40.6, 21.2),
    "a4-80": ("A4", 5, 16, 35.6, 16.9, 11.0, 13.0, 38.1, 16.9),
    "a4-270": ("A4", 10, 27, 17.8, 10, 6.0, 13.0, 20.3, 10.0),
}
# labels.md gives these labels in inches too.
INCHES = {
    "letter-30": ("2.625", "1"),
    "letter-20": ("4", "1"),
    "letter-14": ("4", "4/3"),
    "letter-10": ("4", "2"),
    "letter-80": ("1.75", "0.5"),
}


def test_every_sheet_is_checked() -> None:
    assert set(SECOND) == set(SHEETS)


@pytest.mark.parametrize("key", SECOND)
def test_the_geometry_of_a_sheet(key: str) -> None:
    each = SHEETS[key]
    assert (
        *(each.page, each.columns, each.rows, each.label_width_mm, each.label_height_mm),
        *(each.left_mm, each.top_mm, each.pitch_x_mm, each.pitch_y_mm),
    ) == SECOND[key]


@pytest.mark.parametrize("key", INCHES)
def test_sheets_of_inches(key: str) -> None:
    wide, high = (float(Fraction(inches)) * 25.4 for inches in INCHES[key])
    assert SHEETS[key].label_width_mm == pytest.approx(wide, abs=0.006)
    assert SHEETS[key].label_height_mm == pytest.approx(high, abs=0.006)


def test_papers() -> None:
    """labels.md: Letter is 8.5 × 11 in, A4 is 210 × 297; each A size is half of the one before (ISO 216)."""
    wide, high = PAGES_MM["A4"]
    assert (wide, high) == (210, 297)
    assert PAGES_MM["Letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))
    for smaller in ("A5", "A6"):
        wide, high = high // 2, wide
        assert PAGES_MM[smaller] == (wide, high)
    assert set(PAGES_MM) == {"A4", "Letter", "A5", "A6"}


def test_what_a_slip_warns_of() -> None:
    """safety.json: no_food and lead_glass, sharps and crack_stop, cold_water, sealed."""
    drink, sharp, heat = SLIP_CAUTIONS
    assert "Clean does not mean fit to drink from" in drink and "may hold lead" in drink
    assert "Chips and cracks can be sharp" in sharp and "a crack can run without warning" in sharp
    assert "Keep it from frost, boiling water, sudden heat and the dishwasher" in heat
    assert "Leave a sealed bottle sealed" in heat
