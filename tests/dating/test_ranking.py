"""Marks ranked while a reading is typed: probabilities, ties, years and the reasons part by part."""

import pytest

from dating import CaseError, Reference, rank_marks
from dating.library import reference

from .own_rows import CODES, MARKS


def test_probabilities_and_order(ref: Reference) -> None:
    ranked = rank_marks({"letters": "LG", "right": "69"}, ref)
    assert ranked[0].mark.id == "liberty-lg"
    best = {r.rank: r.probability for r in reversed(ranked)}  # of each set of ties its first
    assert list(best.values()) == sorted(best.values())
    assert [r.rank for r in ranked] == sorted(r.rank for r in ranked)
    assert sum(r.probability for r in ranked) < 1
    assert "letters: LG, as read" in ranked[0].why
    assert "its year code fits: 1969" in ranked[0].why


def test_years_re_rank(ref: Reference) -> None:
    reading = {"letters": "MGCO", "arrangement": "plain"}
    early = rank_marks(reading, ref, (None, 1880))
    late = rank_marks(reading, ref, (1896, 1902))
    assert (early[0].mark.maker, late[0].mark.id) == ("Mississippi Glass Company", "modes-mgco")
    assert "used 1894–1902, which fits" in late[0].why
    assert any("does not fit the other evidence" in why for r in late for why in r.why)


@pytest.mark.parametrize(
    ("reading", "mark", "why"),
    [
        ({"letters": "G", "frame": "square"}, "glenshaw-g-square", "frame: square, as read"),
        ({"letters": "G", "frame": "none"}, "glenshaw-g-square", "which would be worn off"),
        ({"letters": "G", "frame": "oval"}, "glenshaw-g-square", "frame: read as oval, the mark has square"),
        ({"letters": "ROOT", "frame": "oval"}, "root-dated", "frame: read as oval, the mark has none"),
        ({"letters": "R??T"}, "root-dated", "letters: ROOT, with what is unread filled in"),
        ({"letters": "RDOT"}, "root-dated", "letters: ROOT, if some are worn, lost or added"),
        ({"letters": "", "symbol": "acorn"}, "bellaire-acorn", "no letters, as read"),
        ({"letters": "X", "symbol": "acorn"}, "bellaire-acorn", "the mark has no letters"),
        ({"letters": "", "symbol": "acorn"}, "bellaire-acorn", "sign: acorn, as read"),
    ],
)
def test_reasons(ref: Reference, reading: dict[str, str], mark: str, why: str) -> None:
    ranked = {r.mark.id: r for r in rank_marks(reading, ref, limit=200)}
    assert any(why in reason for reason in ranked[mark].why)


def test_empty_and_bad_readings(ref: Reference) -> None:
    assert rank_marks({}, ref) == ()
    with pytest.raises(CaseError):
        rank_marks({"letter": "A"}, ref)


def test_a_reading_may_be_given_as_read(ref: Reference) -> None:
    ranked = rank_marks({"letters": "BW", "symbol": "wave"}, ref.with_own(MARKS, CODES))
    assert rank_marks(ranked[0].reading, ref.with_own(MARKS, CODES))[0].mark.id == "bw-wave"


def test_what_is_remembered_stays_small(monkeypatch: pytest.MonkeyPatch) -> None:
    ref = reference().with_own()
    monkeypatch.setattr("dating.library.REMEMBERED", 50)
    for first in "ABCDEFGH":
        for second in "ABCDEFGH":
            rank_marks({"letters": first + second}, ref)
    assert len(ref._memory) <= 50


def test_a_sign_alone_is_explained_without_a_word_of_letters(ref: Reference) -> None:
    """Letters that nobody looked for are neither for nor against a mark."""
    ranked = {r.mark.id: r for r in rank_marks({"symbol": "acorn"}, ref, limit=200)}
    why = ranked["bellaire-acorn"].why
    assert "sign: acorn, as read" in why
    assert not any("letters" in reason for reason in why)
