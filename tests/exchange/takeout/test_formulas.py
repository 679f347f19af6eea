"""Text that a spreadsheet would run: made harmless, and given back exactly."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.exchange.takeout.formulas import quoted, unquoted

# The beginnings that OWASP's page on CSV injection names.
OWASP = ("=", "+", "-", "@", "\t", "\r")


@pytest.mark.parametrize("begin", OWASP)
def test_no_cell_begins_as_a_formula(begin: str) -> None:
    assert quoted(f"{begin}1+1").startswith("'")


@pytest.mark.parametrize("plain", ["", "BW", "'tis", "1-2", "QUILL & SONS = best", "''"])
def test_other_words_stay_as_they_are(plain: str) -> None:
    assert quoted(plain) == plain


@given(st.text(alphabet=st.sampled_from("='+-@\t\r\n＝aB ")))
def test_what_went_out_comes_in_again_without_loss(text: str) -> None:
    assert not quoted(text).startswith((*OWASP, "\n", "＝"))
    assert unquoted(quoted(text)) == text
