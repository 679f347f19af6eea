"""The grade by its rule."""

import pytest

from catalogue.care.grading import grade_of, grade_rules, storage_advice
from catalogue.care.models import ConditionReport, Damage


@pytest.mark.parametrize(
    ("damages", "grade"),
    [
        ([], "sound"),
        ([("growth", "all")], "sound"),
        ([("scratch", "trace")], "worn"),
        ([("chip", "trace"), ("haze", "all")], "damaged"),
        ([("missing", "little")], "damaged"),
        ([("missing", "much")], "fragile"),
        ([("flash", "trace")], "fragile"),
        ([("chip", "some"), ("weeping", "trace")], "unstable"),
    ],
)
def test_the_worst_line_that_holds_gives_the_grade(damages, grade) -> None:
    assert grade_of(damages)[0] == grade


def test_the_rule_speaks_only_of_known_grades_kinds_and_extents() -> None:
    assert grade_rules()
    for step in grade_rules():
        assert step.grade in ConditionReport.Grade.values
        assert step.kinds <= set(Damage.Kind.values)
        assert step.extent_from in Damage.Extent.values


def test_unstable_glass_raises_advice_for_the_shelf_once() -> None:
    advice = storage_advice(["weeping", "crizzling", "chip"])
    assert len(advice) == 1
    assert "42 %" in advice[0].words and advice[0].source_words.startswith("published")
    assert storage_advice(["iridescent"])
    assert storage_advice(["chip", "growth"]) == []
