"""Sizes and masses as typed: every usual spelling, exact factors, and what is shown reads back as stored."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.quantities import (
    DEPTH,
    LENGTH,
    MASS,
    VOLUME,
    QuantityError,
    Units,
    in_words,
    read_quantity,
)

MM, INCH = Units.METRIC, Units.INCH


@pytest.mark.parametrize(
    ("typed", "quantity", "units", "stored"),
    [
        ("83", LENGTH, MM, "83"),
        ("83 mm", LENGTH, INCH, "83"),
        ("24 cm", LENGTH, MM, "240"),
        ("24,5 cm", LENGTH, MM, "245"),
        # NIST SP 811, B.8: 1 inch is 25.4 mm exactly
        ('9 1/2"', LENGTH, MM, "241.3"),
        ("9½”", LENGTH, MM, "241.3"),
        ("9-1/2 in", LENGTH, MM, "241.3"),
        ("9.5 inches", LENGTH, MM, "241.3"),
        ("9 1/2", LENGTH, INCH, "241.3"),
        ("3 / 8 in", LENGTH, MM, "9.5"),
        ("1' 2\"", LENGTH, INCH, "355.6"),
        ("510", MASS, MM, "510"),
        ("0.5 kg", MASS, INCH, "500"),
        # the same table: 1 pound is 453.59237 g exactly, an ounce its sixteenth, 28.349523125 g
        ("18 oz", MASS, MM, "510.3"),
        ("18", MASS, INCH, "510.3"),
        ("1 lb 2 oz", MASS, MM, "510.3"),
        ("2000 oz", MASS, MM, "56699"),
        ("28 cl", VOLUME, MM, "280"),
        ("36 ft", DEPTH, MM, "11"),
    ],
)
def test_it_is_read_as_typed(typed, quantity, units, stored):
    assert read_quantity(typed, quantity, units) == Decimal(stored)


@pytest.mark.parametrize(
    "typed", ["tall", "NaN", "inf", "1e9", "1" * 400, "", "12/", '91/2"', "1.2.3", "5 mm 3 mm"]
)
def test_what_is_no_length_is_refused_with_an_example(typed):
    with pytest.raises(QuantityError, match="83 mm"):
        read_quantity(typed, LENGTH, MM)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("-5", "more than 0"),
        # a fraction is of an inch: in a catalogue of mm it says so
        ("9 1/2", "Say the unit"),
        ("1,200", "comma"),
        ("62.55 mm", "a tenth of a mm"),
        ("62.55", "a tenth of a mm"),
        ("12 stone", "“stone” is no unit"),
        ("3 oz", "“oz” is no unit"),
    ],
)
def test_what_could_mean_two_things_is_asked_about(typed, why):
    with pytest.raises(QuantityError, match=why):
        read_quantity(typed, LENGTH, MM)


@pytest.mark.parametrize(
    ("stored", "quantity", "units", "words"),
    [
        ("104.0", LENGTH, MM, "104 mm"),
        ("62.5", LENGTH, MM, "62.5 mm"),
        ("241.3", LENGTH, INCH, '9 1/2"'),
        ("25.4", LENGTH, INCH, '1"'),
        ("9.5", LENGTH, INCH, '3/8"'),
        ("238.0", LENGTH, INCH, '9.37"'),
        ("510.0", MASS, MM, "510 g"),
        ("510.3", MASS, INCH, "18 oz"),
        ("60000", MASS, MM, "60000 g"),
        ("11.0", DEPTH, INCH, "11 m"),
    ],
)
def test_it_is_shown_as_people_write_it(stored, quantity, units, words):
    assert in_words(Decimal(stored), quantity, units) == words


@given(st.integers(1, 600_000), st.sampled_from([LENGTH, MASS, VOLUME, DEPTH]), st.sampled_from(Units))
def test_what_is_shown_reads_back_as_stored(tenths, quantity, units):
    stored = Decimal(tenths) / 10
    assert read_quantity(in_words(stored, quantity, units), quantity, units) == stored


@given(st.integers(0, 60), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_part_of_an_inch_comes_back_as_it_was_typed(whole, part, parts):
    """In lowest terms: 2/4 is 1/2."""
    if part >= parts or part % 2 == 0:
        return
    typed = f'{whole} {part}/{parts}"'.removeprefix("0 ")
    assert in_words(read_quantity(typed, LENGTH, INCH), LENGTH, INCH) == typed


@given(st.text(max_size=12))
def test_no_text_breaks_it(text):
    for quantity in (LENGTH, MASS):
        try:
            assert read_quantity(text, quantity, MM) >= 0
        except QuantityError as error:
            assert str(error)
