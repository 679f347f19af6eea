"""Mutation analysis: what share of moved years a second source notices, computed and told."""

from dating import Reference

from .mutations import in_words, survey
from .told import DEVELOPERS, HOW_TO_WRITE

# No less than when the lines were written; DEVELOPERS.md names what is printed.
LEAST = (0.96, 0.93, 0.67, 0.5)


def test_second_sources_notice_what_is_moved(ref: Reference) -> None:
    found = survey(ref)
    print(in_words(found))
    assert [one.what for one, least in zip(found, LEAST, strict=True) if one.share < least] == []
    assert all(one.noticed < one.made for one in found)  # a share of all would be one that can't fail


def test_developers_are_told_the_share_that_is_computed(ref: Reference) -> None:
    assert in_words(survey(ref)) in DEVELOPERS.read_text(encoding="utf-8"), HOW_TO_WRITE
