"""All spellings at once: each as if it were alone, with no more work than the reading can tell apart."""

import pytest

from dating import Case, Reference, assess, misreading, rank_marks
from dating.case import read_mark_reading
from dating.edit_distance import Alignment, chance, pattern, turned
from dating.markindex import Spellings
from dating.misreading import candidates

TEXTS = ("LG", "R??T", "ROO*", "[KH]*RQ?T", "*ROS", "WECKX", "KILNER BROS", "B?LL", "XQ", "[HN]A", "8", "")


@pytest.mark.parametrize("text", TEXTS)
def test_upper_limits_are_upper_limits(ref: Reference, text: str) -> None:
    reading = pattern(text)
    spellings = ref.listed.spellings
    limits = spellings.limits(reading)
    for string, limit in zip(spellings.strings, limits, strict=True):
        assert chance(reading, string) <= limit * (1 + 1e-9)
    assert len(reading) < 4 or sum(limits) < len(limits) / 2  # and they rule something out


@pytest.mark.parametrize("longest", (31, 32, 70, 300))
def test_limits_of_long_strings(longest: int) -> None:
    """Lanes of any width: a string of one's own may be longer than all of the tables."""
    strings = ["LG", "ROOT", "KILNERBROS", "ROOT" * (longest // 4) + "X" * (longest % 4)]
    spellings = Spellings(strings)
    for text in ("ROOT" * (longest // 4), "RO?T", "LG*", "X"):
        reading = pattern(text)
        for string, limit in zip(spellings.strings, spellings.limits(reading), strict=True):
            assert chance(reading, string) <= limit * (1 + 1e-9)
        best = spellings.limits(pattern("".join(strings[3])))[-1]
        assert best == pytest.approx(0.95**longest)


def test_limits_after_more_letters_than_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    spellings = Spellings(["LG", "ROOT", "TH"])
    once = spellings.limits(pattern("RO?T"))
    monkeypatch.setattr("dating.limits.TOKENS_KEPT", 1)
    assert spellings.limits(pattern("LGTH")) != once
    assert spellings.limits(pattern("RO?T")) == once


@pytest.mark.parametrize("text", TEXTS)
def test_all_spellings_at_once_are_each_alone(ref: Reference, text: str) -> None:
    reading = pattern(text)
    at_once = ref.listed.spellings.chances(reading)
    assert at_once.keys() == set(ref.listed.spelled)  # nothing is left out where nothing is asked for
    for string, value in at_once.items():
        over = [0.02 * chance(other, string) for other in turned(reading) if len(string) <= len(reading)]
        assert value == pytest.approx(max([chance(reading, string), *over]), rel=1e-12, abs=0)


@pytest.mark.parametrize(
    "given",
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
    ref: Reference, given: dict[str, str], maker: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The candidates are those of a plain pass over every mark, each with its exact chance."""
    reading = read_mark_reading(given, "mark", ref)
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
    assert Spellings([]).chances(pattern("MOH")) == {}


def test_a_long_reading_with_a_lost_end(ref: Reference) -> None:
    chances = ref.listed.spellings.chances(pattern("KILNER*"))
    assert max(chances, key=chances.__getitem__) == "KILNERBROS"


def test_an_opinion_on_the_maker_gives_its_marks_their_own_chance(ref: Reference) -> None:
    """Even where the letters have nothing in common with them, so that they are far below the best."""
    given = {"mark": {"letters": "ATLASEZSEAL"}, "maker": "Thatcher Manufacturing Company", "this_year": 2026}
    finding = assess(Case.from_dict(given, ref), ref)
    reading = pattern("ATLASEZSEAL")
    chances = {m.id: chance(reading, ref.marks[m.id].letters) for m in finding.marks if m.id}
    assert max(chances, key=chances.__getitem__) == finding.marks[0].id


def test_the_work_of_ranking_does_not_grow_with_what_the_reading_cannot_tell_apart(
    ref: Reference, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance_of = Alignment.chance
    few, many = (
        [
            {"id": f"own-{a}{b}", "letters": f"TH{a}{b}", "maker": f"{a}{b}", "used_from": "", "used_to": ""}
            for a in letters
            for b in letters
        ]
        for letters in ("EFK", "EFKPRSXY")
    )
    counts = []
    for rows in (few, many):
        aligned: list[str] = []

        def counted(self: Alignment, letters: str, aligned: list[str] = aligned) -> float:
            aligned.append(letters)
            return chance_of(self, letters)

        joined = ref.with_own(rows)
        monkeypatch.setattr(Alignment, "chance", counted)
        assert len(rank_marks({"letters": "TH"}, joined)) == 20
        counts.append(len(aligned))
    assert 0 < counts[1] <= counts[0]
