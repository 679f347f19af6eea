"""All spellings at once: each as if it were alone, with no more work than the reading can tell apart."""

from collections.abc import Sequence

import pytest

from dating import Case, Reference, assess, rank_marks
from dating.case import read_mark_reading
from dating.edit_distance import Pattern, chance, pattern, turned
from dating.limits import limits_of
from dating.markindex import Spellings
from dating.misreading import IRRELEVANT, candidates, reading_chances

TEXTS = ("LG", "R??T", "ROO*", "[KH]*RQ?T", "WECKX", "KILNER BROS", "B?LL", "XQ", "[HN]A", "8", "")


@pytest.mark.parametrize("text", TEXTS)
def test_upper_limits_are_upper_limits(ref: Reference, text: str) -> None:
    reading = pattern(text)
    strings = ref.listed.spellings.strings
    for string, limit in zip(strings, limits_of(reading, strings), strict=True):
        assert chance(reading, string) <= limit * (1 + 1e-9)


@pytest.mark.parametrize("text", TEXTS)
def test_all_spellings_at_once_are_each_alone(ref: Reference, text: str) -> None:
    reading = pattern(text)
    at_once = ref.listed.spellings.chances(reading)
    assert at_once.keys() == set(ref.listed.spelled)  # nothing is left out where nothing is asked for
    top = max(chance(reading, string) for string in at_once)
    for string, value in at_once.items():
        alone = chance(reading, string)
        over = max((0.02 * chance(other, string) for other in turned(reading)), default=0.0)
        if len(string) > len(reading):
            assert value == pytest.approx(alone, rel=1e-12, abs=0)
        elif over >= 1e-3 * top:
            assert value == pytest.approx(max(alone, over), rel=1e-12, abs=0)
        else:  # too far-fetched to be worth the time, unless it was tried for its letters all the same
            assert value in (
                pytest.approx(alone, rel=1e-12, abs=0),
                pytest.approx(max(alone, over), rel=1e-12, abs=0),
            )


@pytest.mark.parametrize(
    "given",
    [
        {"letters": "OBEARCO"},
        {"letters": "T"},
        {"letters": "B?", "frame": "circle"},
        {"letters": "R8CO", "symbol": "star", "frame": "oval"},
        {"letters": "TMC", "arrangement": "monogram"},
        {"letters": "KILN*"},
    ],
    ids=str,
)
@pytest.mark.parametrize("maker", [None, "Ball Bros."])
def test_what_is_left_out_could_not_matter(ref: Reference, given: dict[str, str], maker: str | None) -> None:
    """The candidates are those of a plain pass over every mark, each with its exact chance."""
    reading = read_mark_reading(given, "mark", ref)
    assert reading is not None
    listed = ref.listed
    reads = candidates(reading, ref, maker)
    found = {read.mark.id: read.chance for read in reads.reads}
    everything = reading_chances(reading, ref)
    scores = {
        mark.id: listed.share[n] * everything.get(n, 0.0)
        for n, mark in enumerate(listed.marks)
        if maker in (None, mark.maker)
    }
    best = max(scores.values())
    due = {name for name, score in scores.items() if score >= 1.001 * IRRELEVANT * best}
    if maker:
        assert due <= found.keys()
    for n, mark in enumerate(listed.marks):
        if mark.id in found and n in everything:
            assert found[mark.id] == pytest.approx(everything[n], rel=1e-12)


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


class Counting(Spellings):
    """Counts the strings that are aligned."""

    aligned = 0

    def _aligned(self, reading: Pattern, strings: Sequence[str]) -> dict[str, float]:
        self.aligned += len(strings)
        return super()._aligned(reading, strings)


def test_the_work_of_ranking_does_not_grow_with_what_the_reading_cannot_tell_apart(ref: Reference) -> None:
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
        joined = ref.with_own(rows)
        joined.listed.spellings = counting = Counting(joined.listed.spelled)
        assert len(rank_marks({"letters": "TH"}, joined)) == 20
        counts.append(counting.aligned)
    assert counts[1] <= counts[0]
