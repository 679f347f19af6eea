"""Limits of what is typed: keys of rows as addresses and forms have them."""

import pytest

from catalogue.common.limits import key_typed


@pytest.mark.parametrize(("typed", "key"), [("0", 0), ("7", 7), ("007", 7), ("9" * 18, 10**18 - 1)])
def test_a_key_is_digits_that_a_database_takes(typed, key):
    assert key_typed(typed) == key < 2**63


@pytest.mark.parametrize("typed", ["", " 7", "-1", "1.0", "1e3", "٣", "²", "7\x00", "9" * 19, "9" * 5000])
def test_anything_else_is_none(typed):
    assert key_typed(typed) is None
