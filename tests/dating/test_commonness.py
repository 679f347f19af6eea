"""Rare marks take no share of common ones, and do not blur their years."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dating import Case, Finding, Reference, ReferenceError, assess, rank_marks, reference
from dating.library import TABLE_NAMES, load
from dating.tables import PUBLISHED

from .grown import grown, invented, mark


def shares_of(ref: Reference) -> dict[str, float]:
    return dict(zip((m.id for m in ref.listed.marks), ref.listed.share, strict=True))


def ask(ref: Reference, **reading: str) -> Finding:
    return assess(Case.from_dict({"mark": reading, "this_year": 2026}, ref), ref, reasons=False)


def test_a_mark_is_of_the_middle_sort_unless_its_row_says_otherwise(ref: Reference) -> None:
    common = {m.id: m.common.commonness for m in ref.marks.values()}
    assert common["mason-patent-1858"] == "many"
    assert common["limmared-lgb"] == "few"  # a seal
    assert common["liberty-lg"] == "some"
    few, many = (sum(each == word for each in common.values()) for word in ("few", "many"))
    assert few > many > 10
    for row in (m.common for m in ref.marks.values() if m.common.mark):
        assert row.note and row.basis


@pytest.mark.parametrize(
    ("old", "new", "field", "reason"),
    [
        ("limmared-lgb,few", "limmared-lgx,few", "mark", "not known"),
        ("limmared-lgb,few", "limmared-lgb,rare", "commonness", "not known"),
        ("limmared-lgb,few", "limmared-lgb,", "commonness", "may not be empty"),
        ("limmared-lgb,few", "lynchburg-lbg,own", "commonness", "not known"),
        ("limmared-lgb,few", "mason-patent-1858,few", "mark", "there twice"),
        ("limmared-lgb,few,,ours", "limmared-lgb,few,,published", "source", "needs its source"),
        ("limmared-lgb,few,,ours", "limmared-lgb,few,,", "basis", "not known"),
        ("limmared-lgb,few,,ours,a seal pressed by hand for one works or buyer", "limmared-lgb,few,,ours,",
         "note", "may not be empty"),
    ],
)  # fmt: skip
def test_refusals(old: str, new: str, field: str, reason: str) -> None:
    texts = {name: PUBLISHED.text(name) for name in TABLE_NAMES}
    assert texts["commonness"].count(old) == 1
    texts["commonness"] = texts["commonness"].replace(old, new)
    with pytest.raises(ReferenceError, match=reason) as caught:
        load(texts)
    assert (caught.value.file, caught.value.field) == ("commonness.csv", field)


def test_shares_follow_commonness(ref: Reference) -> None:
    rows = [mark("zq-a", "ZQX", 1900, 1930)]
    by_word = {word: shares_of(grown(rows, word))["zq-a"] for word in ("few", "some", "many")}
    assert by_word["few"] == pytest.approx(0.05 * by_word["some"], rel=0.01)
    assert by_word["many"] == pytest.approx(2 * by_word["some"], rel=0.01)
    own = ref.with_own([{"id": "zq", "letters": "ZQX", "maker": "Zoq", "used_from": "", "used_to": ""}])
    assert shares_of(own)["zq"] == pytest.approx(4 * by_word["some"], rel=0.02)


@settings(max_examples=8, deadline=None)
@given(st.integers(1, 200), st.integers(0, 1000))
def test_however_many_rare_marks_are_added_the_others_keep_their_shares(number: int, seed: int) -> None:
    before = shares_of(reference())
    rows = invented(number, seed)
    hands = [m.maker for m in reference().marks.values()]
    chance = random.Random(seed)
    for row in chance.sample(rows, number // 4):
        row["maker"] = chance.choice(hands)  # a rare variant of a known maker takes nothing either
    after = shares_of(grown(rows, "few"))
    common = {name for name, m in reference().marks.items() if m.common.commonness != "few"}
    assert {name: after[name] for name in common} == pytest.approx({name: before[name] for name in common})


@pytest.mark.parametrize("letters", ["ROOT", "UGB", "DOMINION"])
def test_a_rare_mark_of_the_same_letters_does_not_widen_the_window(ref: Reference, letters: str) -> None:
    rows = [mark("late", letters, 1960, 1990), mark("early", letters, 1790, 1830)]
    before = ask(ref, letters=letters)
    rare, usual = (ask(grown(rows, word), letters=letters) for word in ("few", "some"))
    assert before.window is not None
    assert rare.window == before.window
    assert usual.window != before.window


def test_sixty_rare_marks_leave_the_likely_years_about_as_wide(ref: Reference) -> None:
    """They widened them from 1.42 to 1.80 times when every maker had the same share."""

    def width(tables: Reference) -> list[int]:
        found = (ask(tables, letters=m.letters, frame=m.frame) for m in known)
        return [sum(run.end - run.start + 1 for run in each.likely) for each in found]

    known = [m for m in ref.marks.values() if 2 <= len(m.letters) <= 4 and m.common.commonness != "few"]
    before, rare, usual = map(width, (ref, grown(invented(64), "few"), grown(invented(64), "some")))
    ratios = sorted(b / a for a, b in zip(before, rare, strict=True))
    assert ratios[len(ratios) // 2] <= 1.01
    assert sum(rare) <= 1.03 * sum(before)
    # Counted, not summed: one mark that is no longer stated takes away more years than thirty add.
    assert sum(b > a for a, b in zip(before, usual, strict=True)) > len(known) // 4
    assert sum(b > a for a, b in zip(before, rare, strict=True)) <= len(known) // 20


def test_why_says_how_common_a_mark_is(ref: Reference) -> None:
    rows = [mark("zq-a", "ZQX", 1900, 1930)]
    for tables, letters, words in (
        (grown(rows, "few"), "ZQX", "few bottles bear this mark, so it counts less"),
        (grown(rows, "many"), "ZQX", "many bottles bear this mark, so it counts more"),
        (
            ref.with_own([{"id": "zq", "letters": "ZQX", "maker": "Zoq", "used_from": "", "used_to": ""}]),
            "ZQX",
            "a maker of your own, so it counts more",
        ),
    ):
        assert words in rank_marks({"letters": letters}, tables)[0].why
    assert not any("bottles bear" in why for why in rank_marks({"letters": "LG"}, ref)[0].why)
    assert ref.marks["liberty-lg"].common.words == ""
    assert ref.marks["limmared-lgb"].common.words.startswith("few bottles bear it: a seal")
