"""The quick way of weighing a reading against all marks gives what the plain one gives, on random cases.

``python -m tests.benchmarks plainly 2000`` runs as many as one has patience for.
"""

import random

import pytest

from dating import Case, Reference, misreading
from dating.case import MarkReading
from dating.edit_distance import pattern
from dating.markfactor import mark_factor
from dating.years import axis_to

from .own_rows import CODES, MARKS
from .plainly import factor

CHARACTERS = (None, None, "", "?", "7", "48", "559")


def own_and_a_few(ref: Reference, seed: int) -> tuple[Reference, random.Random]:
    """A table with rows of one's own."""
    return ref.with_own(MARKS, CODES), random.Random(seed)


def random_reading(ref: Reference, draw: random.Random) -> MarkReading:
    """A mark of the tables, worn: letters unread, doubtful, taken for others, lost, an end under growth."""
    mark = draw.choice([mark for mark in ref.marks.values() if mark.letters])
    out = []
    for letter in mark.letters:
        kind = draw.random()
        worn = draw.choice("ABCLOT8") if kind < 0.04 else draw.choice(["?", "[BR]", "[HN]", ""])
        out.append(letter if kind > 0.25 else worn)
    if draw.random() < 0.25:
        out.insert(draw.choice((0, len(out))), "..")
    letters = "".join(out) or "?"
    if not any(place != {"*"} for place in pattern(letters)):
        letters = "?"
    frame = draw.choice([None, None, mark.frame, "circle"])
    slots = {draw.choice(("left", "right", "below")): draw.choice(CHARACTERS)}
    return MarkReading(letters=letters, frame=frame, symbol=draw.choice([None, mark.symbol]), **slots)


def furthest(ref: Reference, draw: random.Random, region: str | None) -> tuple[float, MarkReading]:
    """How far the two are apart at most in any year, where the highest year has 1."""
    reading = random_reading(ref, draw)
    case = Case(marks=(reading,), region=region, this_year=2026)
    chance = misreading.unknown_chance(reading, ref)
    plain = factor(reading, case, pattern(reading.letters or ""), chance, ref)
    quick = mark_factor(reading, case, axis_to(2026), ref).heights
    return max(abs(a - b) for a, b in zip(plain, quick, strict=True)), reading


@pytest.mark.parametrize("seed", range(12))
def test_nothing_left_out_is_exactly_the_plain_sum(
    ref: Reference, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    joined, draw = own_and_a_few(ref, seed)
    monkeypatch.setattr(misreading, "IRRELEVANT", 0.0)
    apart, reading = furthest(joined, draw, draw.choice([None, None, "US", "DE"]))
    assert apart < 1e-9, reading


@pytest.mark.parametrize("seed", range(100, 112))
def test_what_is_left_out_leaves_no_trace(ref: Reference, seed: int) -> None:
    joined, draw = own_and_a_few(ref, seed)
    apart, reading = furthest(joined, draw, draw.choice([None, None, "US", "DE"]))
    assert apart < 1e-4, reading


def test_a_missed_code_is_due_in_each_marks_own_years(
    ref: Reference, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whichever reading was asked for first: marks of one country do not stand for each other there."""
    monkeypatch.setattr(misreading, "IRRELEVANT", 0.0)
    joined = ref.with_own(MARKS, CODES)
    for letters, region in (("C..", None), ("LG", "US"), ("CB", "DE"), ("C..", "DE")):
        reading = MarkReading(letters=letters, left="")
        case = Case(marks=(reading,), region=region, this_year=2026)
        chance = misreading.unknown_chance(reading, joined)
        plain = factor(reading, case, pattern(letters), chance, joined)
        quick = mark_factor(reading, case, axis_to(2026), joined).heights
        assert max(abs(a - b) for a, b in zip(plain, quick, strict=True)) < 1e-9
