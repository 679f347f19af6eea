"""Telling pieces apart that have lost their tags."""

from hypothesis import given
from hypothesis import strategies as st

from catalogue.care.piece_matching import MeasuredPiece, RecordedPiece, letters_distance, rank_matches

PIECES = [
    RecordedPiece(1, base_mm=62, height_mm=241, letters=("BW",)),
    RecordedPiece(2, base_mm=62, height_mm=236, letters=("T&H",)),
    RecordedPiece(3, base_mm=46, height_mm=142),
    RecordedPiece(4),
]


def keys(seen: MeasuredPiece) -> list[int]:
    return [match.key for match in rank_matches(seen, PIECES)]


def test_base_and_height_find_it() -> None:
    assert keys(MeasuredPiece(base_mm=46, height_mm=141))[0] == 3
    assert keys(MeasuredPiece(base_mm=62, height_mm=241))[0] == 1


def test_the_mark_decides_between_equal_sizes() -> None:
    first = rank_matches(MeasuredPiece(base_mm=62, height_mm=238, letters="t h"), PIECES)[0]
    assert first.key == 2
    assert "mark agrees" in first.words


def test_growth_that_came_off_explains_less_not_more() -> None:
    grown = [RecordedPiece(1, base_mm=66, height_mm=245), RecordedPiece(2, base_mm=58, height_mm=237)]
    assert [m.key for m in rank_matches(MeasuredPiece(base_mm=62, height_mm=241), grown)][0] == 1


def test_a_piece_without_records_comes_last() -> None:
    assert keys(MeasuredPiece(base_mm=46))[-1] == 4
    assert keys(MeasuredPiece(letters="BW"))[0] == 1


def test_letters_off() -> None:
    assert letters_distance("B?", "BW") == 0
    assert letters_distance("t&h", "T H") == 0
    assert letters_distance("OFG", "OF") > 0
    assert letters_distance("", "OF") == 1


@given(st.text(max_size=12), st.text(max_size=12))
def test_letters_off_is_between_0_and_1_and_the_same_both_ways(a: str, b: str) -> None:
    assert 0 <= letters_distance(a, b) <= 1
    assert letters_distance(a, b) == letters_distance(b, a)
