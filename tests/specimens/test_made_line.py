"""The years on a printed treatment record read as a sentence, also where there are none."""

import pytest

from catalogue.specimens.year_words import made_line


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("about 1870 to 1890", "Made: about 1870 to 1890"),
        ("not yet dated", "Not yet dated"),
        ("not dated by this mark; if it is X: 1919–1922", "Not dated by this mark; if it is X: 1919–1922"),
        ("", ""),
    ],
)
def test_it_reads_as_a_line(words, line):
    assert made_line(words) == line
