"""When a mixture wants a written reason, and when it is refused.

The limits of 9 and 17 % are common practice without a source; beside them the collected facts say that 15 to
85 of 31.45 % acid makes 5.34 %, and one to one about 17 %.
"""

import pytest

from catalogue.care.chemistry import strength_of_mix
from catalogue.care.mixture import judge_mixture, mixture_limits


def verdict(acid: float, water: float, jug: float = 31.45):
    return judge_mixture(strength_of_mix(acid, water, jug), acid, water)


def test_the_limits_stand_where_common_practice_has_them() -> None:
    assert [limit.wt_pct for limit in mixture_limits().values()] == [9, 17]
    assert strength_of_mix(15, 85, 31.45) == pytest.approx(5.34, abs=0.01)
    # "about 1:1 of 31 % acid"
    assert strength_of_mix(1, 1, 31.45) == pytest.approx(17, abs=0.2)


@pytest.mark.parametrize(
    ("acid", "water", "jug", "asks"),
    [
        (15, 85, 31.45, ""),
        # the same parts of a weak jug are weak, of two jugs' worth not: the strength decides, not the ratio
        (30, 70, 14.5, ""),
        (30, 70, 31.45, "reason"),
        (26, 74, 31.45, "reason"),
        (25, 75, 31.45, ""),
        (50, 50, 31.45, "reason"),
        (51, 49, 31.45, "refused swapped"),
        (45, 55, 31.45, "reason"),
        (85, 15, 31.45, "refused swapped"),
        (60, 40, 10, "swapped"),
        (50, 50, 10, ""),
    ],
)
def test_judged_by_what_is_mixed(acid: float, water: float, jug: float, asks: str) -> None:
    found = verdict(acid, water, jug)
    said = {"refused": found.refused, "reason": found.needs_reason, "swapped": found.swapped}
    assert {name for name, words in said.items() if words} == set(asks.split())


def test_the_sentences_name_strength_danger_and_way_out() -> None:
    assert verdict(85, 15).swapped.endswith("Were the two swapped?")
    for words in (verdict(85, 15).refused, verdict(30, 70).needs_reason):
        assert "% acid" in words and "fumes and burns" in words and "more water" in words
