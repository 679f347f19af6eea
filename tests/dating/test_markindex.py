"""All spellings at once: each as if it were alone, and what is left out could not matter."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dating import Case, Reference, assess, misreading
from dating.alignments import Alignments, Subsequences
from dating.case import read_mark_reading
from dating.constants import TURNED
from dating.edit_distance import chance, pattern, turned
from dating.markindex import ALIGNED_ALONE, Spellings
from dating.misreading import candidates

TEXTS = ("LG", "R??T", "ROO*", "[KH]*RQ?T", "*ROS", "WECKX", "KILNER BROS", "B?LL", "XQ", "[HN]A", "8", "")
READINGS = st.text("ABCOQH8Z?", max_size=9) | st.lists(
    st.sampled_from(["A", "B", "[HN]", "[O?]", "?", "..", "8", "Z"]), max_size=12
).map("".join)
STRINGS = st.lists(st.text("ABCHNOQZ8", max_size=12), min_size=1, max_size=8, unique=True)


def in_order(strings: list[str]) -> list[str]:
    return sorted(strings, key=lambda string: (len(string), string))


@settings(max_examples=400, deadline=None)
@given(READINGS, STRINGS, st.integers(0, 12), st.integers(0, 12))
def test_all_aligned_at_once_are_each_alone(text: str, strings: list[str], a: int, b: int) -> None:
    """Whichever the sizes: the chances of the plain alignment, which is worked out string by string."""
    reading, found = pattern(text), Alignments(in_order(strings))
    shortest, longest = min(a, b, found.longest), max(a, b)
    there = [string for string in in_order(strings) if shortest <= len(string) <= longest]
    expected = [chance(reading, string) for string in there]
    assert found.chances(reading, shortest, longest) == pytest.approx(expected, rel=1e-11, abs=0)


@settings(max_examples=400, deadline=None)
@given(READINGS, STRINGS)
def test_upper_limits_are_upper_limits(text: str, strings: list[str]) -> None:
    reading, spellings = pattern(text), Spellings(strings)
    both = zip(spellings.limits(reading), Subsequences(spellings.strings).limits(reading), strict=True)
    for string, (limit, by_letters) in zip(spellings.strings, both, strict=True):
        assert chance(reading, string) <= limit * (1 + 1e-9)
        assert by_letters <= limit * (1 + 1e-9)


@pytest.mark.parametrize("text", ["KILNER BROS", "[KH]ILNERB?OS", "OBEARNEST"])
def test_upper_limits_of_long_readings_rule_most_out(ref: Reference, text: str) -> None:
    limits = ref.listed.spellings.limits(pattern(text))
    assert sum(limit > 1e-12 for limit in limits) < len(limits) / 4


@pytest.mark.parametrize("longest", (31, 32, 70, 300))
def test_long_strings(longest: int) -> None:
    """Lanes of any width: a string of one's own may be longer than all of the tables."""
    strings = ["LG", "ROOT", "KILNERBROS", "ROOT" * (longest // 4) + "X" * (longest % 4)]
    spellings = Spellings(strings)
    for text in ("ROOT" * (longest // 4), "RO?T", "LG*", "X"):
        reading = pattern(text)
        at_once = Alignments(spellings.strings).chances(reading)
        for string, limit, value in zip(spellings.strings, spellings.limits(reading), at_once, strict=True):
            assert value == pytest.approx(chance(reading, string), rel=1e-9, abs=0)
            assert value <= limit * (1 + 1e-9)
        best = spellings.limits(pattern("".join(strings[3])))[-1]
        assert 0.95**longest <= best <= 1


def test_after_more_letters_than_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    strings = ["TH", "ROOT", "ROOTBEERCO"]
    limits, alignments = Subsequences(strings), Alignments(strings)
    reading, other = pattern("RO?TBE"), pattern("LGTHX")
    once = limits.limits(reading), alignments.chances(reading)
    monkeypatch.setattr("dating.alignments.FITS_KEPT", 1)
    monkeypatch.setattr("dating.alignments.GAINS_KEPT", 1)
    assert (limits.limits(other), alignments.chances(other)) != once
    assert (limits.limits(reading), alignments.chances(reading)) == once


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("least", [0.0, 1e-12, 1e-6, 1e-3])
def test_all_spellings_at_once_are_each_alone(ref: Reference, text: str, least: float) -> None:
    reading, spellings = pattern(text), ref.listed.spellings
    found = spellings.chances(reading, least)
    for string, value in zip(spellings.strings, found, strict=True):
        over = [TURNED * chance(other, string) for other in turned(reading) if len(string) <= len(reading)]
        expected = max([chance(reading, string), *over])
        # what is left out stays below what was asked for
        assert value == pytest.approx(expected, rel=1e-11, abs=0) or value < expected < least


@settings(max_examples=200, deadline=None)
@given(READINGS, STRINGS, st.sampled_from([0.0, 1e-9, 1e-5, 1e-2]))
def test_few_or_many_the_chances_are_the_same(text: str, strings: list[str], least: float) -> None:
    """One by one below ``ALIGNED_ALONE`` strings, all at once from there on."""
    many = strings + [f"X{n}" for n in range(ALIGNED_ALONE)]
    few, found = Spellings(strings), Spellings(many)
    one_by_one = dict(zip(few.strings, few.chances(pattern(text), least), strict=True))
    at_once = dict(zip(found.strings, found.chances(pattern(text), least), strict=True))
    for string in strings:
        high = max(one_by_one[string], at_once[string])
        assert high < least or one_by_one[string] == pytest.approx(at_once[string], rel=1e-11, abs=0)


@pytest.mark.parametrize(
    "seen",
    [
        {"letters": "OBEARCO"},
        {"letters": "T"},
        {"letters": "B?", "frame": "circle"},
        {"letters": "R8CO", "symbol": "star", "frame": "oval"},
        {"letters": "TMC", "arrangement": "monogram"},
        {"letters": "KILN*"},
        {"letters": "ROOT", "right": "48"},
    ],
    ids=str,
)
@pytest.mark.parametrize("maker", [None, "Ball Bros."])
def test_what_is_left_out_could_not_matter(
    ref: Reference, seen: dict[str, str], maker: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The candidates are those of a plain pass over every mark, each with its exact chance."""
    reading = read_mark_reading(seen, "mark", ref)
    assert reading is not None
    found = candidates(reading, ref.with_own(), maker)
    share = misreading.IRRELEVANT
    monkeypatch.setattr(misreading, "IRRELEVANT", 0.0)
    every = candidates(reading, ref.with_own(), maker)
    assert len(every.marks) == sum(maker in (None, mark.maker) for mark in ref.marks.values())
    chances = dict(zip(every.marks, zip(every.chances, every.scores, strict=True), strict=True))
    kept = {mark.id for mark in found.marks}
    due = {
        mark.id
        for mark, (_, score) in chances.items()
        if score >= 1.001 * share * max(max(every.scores), 100 * every.unknown)
    }
    assert due <= kept and len(kept) < len(every.marks) or maker
    for mark, chance_found, score in zip(found.marks, found.chances, found.scores, strict=True):
        assert (chance_found, score) == pytest.approx(chances[mark], rel=1e-9)


def test_a_table_without_marks() -> None:
    assert Spellings([]).chances(pattern("MOH")) == []


def test_a_long_reading_with_a_lost_end(ref: Reference) -> None:
    spellings = ref.listed.spellings
    chances = spellings.chances(pattern("KILNER*"))
    assert spellings.strings[chances.index(max(chances))] == "KILNERBROS"


def test_an_opinion_on_the_maker_gives_its_marks_their_own_chance(ref: Reference) -> None:
    """Even where the letters have nothing in common with them, so that they are far below the best."""
    given = {"mark": {"letters": "ATLASEZSEAL"}, "maker": "Thatcher Manufacturing Company", "this_year": 2026}
    finding = assess(Case.from_dict(given, ref), ref)
    reading = pattern("ATLASEZSEAL")
    chances = {m.id: chance(reading, ref.marks[m.id].letters) for m in finding.marks if m.id}
    assert max(chances, key=chances.__getitem__) == finding.marks[0].id


def test_an_opinion_on_a_maker_without_marks_leaves_the_unknown_one(ref: Reference) -> None:
    given = {"mark": {"letters": "LG"}, "maker": "Nobody at all", "this_year": 2026}
    finding = assess(Case.from_dict(given, ref), ref)
    assert [mark.id for mark in finding.marks] == [None]
    assert finding.words == "not yet dated"
