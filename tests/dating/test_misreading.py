"""Reading worn marks over the whole table: clean readings, one letter lost, turned readings."""

import pytest

from dating import Reference, rank_marks
from dating.misreading import part_chance
from dating.tables import Mark


def as_read(mark: Mark, letters: str | None = None) -> dict[str, object]:
    return {
        "letters": mark.letters if letters is None else letters,
        "symbol": mark.symbol,
        "frame": mark.frame,
        "arrangement": mark.arrangement,
    }


def rank_of(mark: Mark, reading: dict[str, object], ref: Reference) -> int:
    ranked = rank_marks(reading, ref, limit=25, this_year=2026)
    return next((r.rank for r in ranked if r.mark.id == mark.id), 999)


def test_every_clean_reading_comes_first_or_in_a_tie_shown_as_one(ref: Reference) -> None:
    wrong = [m.id for m in ref.marks.values() if rank_of(m, as_read(m), ref) != 1]
    assert wrong == []


def test_with_one_letter_lost_the_right_one_is_among_the_best_three(ref: Reference) -> None:
    cases = found = 0
    for mark in ref.marks.values():
        if len(mark.letters) < 2:
            continue
        for lost in range(len(mark.letters)):
            letters = mark.letters[:lost] + mark.letters[lost + 1 :]
            reading = {**as_read(mark, letters), "arrangement": None}
            cases += 1
            found += rank_of(mark, reading, ref) <= 3
    assert cases > 1500
    assert found / cases >= 0.95


def test_coinciding_marks_are_one_tie(ref: Reference) -> None:
    ranked = rank_marks({"letters": "T", "frame": "inverted-triangle"}, ref)
    assert {r.mark.id for r in ranked if r.rank == 1} == {
        "turner-t-inverted-triangle",
        "travis-t-inverted-triangle",
    }
    assert all(r.tied for r in ranked if r.rank == 1)


@pytest.mark.parametrize(("read", "mark"), [("OTNROP", "ROOT"), ("WW", "MM")])
def test_turning_is_only_tried_not_assumed(ref: Reference, read: str, mark: str) -> None:
    joined = ref.with_own(
        [{"id": "mm", "letters": "MM", "maker": "Mull Mere", "used_from": "", "used_to": ""}]
    )
    ranked = rank_marks({"letters": read}, joined)
    assert (ranked and ranked[0].mark.letters == mark) == (mark == "MM")


def test_upside_down_and_mirrored_names_are_found(ref: Reference) -> None:
    assert rank_marks({"letters": "TOOR"}, ref)[0].mark.letters == "ROOT"
    first = rank_marks({"letters": "VNOSU"}, ref)[0]  # USONA on its head
    assert first.mark.letters == "USONA"
    assert "upside down" in first.why[0]


def test_a_monogram_is_read_in_any_order(ref: Reference) -> None:
    ranked = rank_marks({"letters": "TMC", "arrangement": "monogram"}, ref)
    assert ranked[0].mark.id == "thatcher-mtc"


def test_an_eight_may_be_an_ampersand(ref: Reference) -> None:
    assert rank_marks({"letters": "R8CO"}, ref)[0].mark.id == "reed-r-and-co"


def test_parts_seen_missed_or_wrong() -> None:
    assert part_chance(None, "circle", "none") == 1
    assert part_chance("circle", "circle", "none") == 0.95
    assert part_chance("none", "circle", "none") == 0.1
    assert part_chance("oval", "circle", "none") == 0.01
    assert part_chance("oval", "none", "none") == 0.01
