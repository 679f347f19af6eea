"""The README tells how much of the tables was read and how much is remembered: computed, not typed."""

import re

import pytest

from dating import Reference
from tests.benchmarks.reliability import sentence

from .told import DEVELOPERS, HOW_TO_WRITE, NOTICED, READ, README, renewed


def test_the_readme_tells_what_is_published_and_what_is_memory(ref: Reference) -> None:
    assert sentence(ref) in README.read_text(encoding="utf-8"), HOW_TO_WRITE


@pytest.mark.parametrize("old", [READ, NOTICED])
def test_a_text_without_its_sentence_or_with_two_is_refused(old: re.Pattern[str]) -> None:
    file = README if old is READ else DEVELOPERS
    told = old.search(file.read_text(encoding="utf-8"))
    assert told and renewed(f"Before. {told[0]} After.", old, "Now.") == "Before. Now. After."
    for text in ("", f"{told[0]} {told[0]} "):
        with pytest.raises(ValueError, match="not exactly one"):
            renewed(text, old, "Now.")
