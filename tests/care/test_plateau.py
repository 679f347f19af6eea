"""When soaking is done."""

import pytest

from catalogue.care.plateau import PlateauRule, judge_plateau


@pytest.mark.parametrize(
    ("values", "tap", "ready", "says"),
    [
        ([], 200, False, "3 more readings"),
        ([220, 215], 200, False, "1 more reading "),
        ([4000, 900, 410, 260], 200, False, "Still moving"),
        ([260, 262, 258], 200, False, "above the tap"),
        ([212, 214, 210], 200, True, "ready"),
        ([4000, 212, 214, 210], 200, True, "ready"),
        ([212, 214, 210], None, False, "tap water has not been measured"),
        # below the tap (rain or distilled water) is no reason to go on
        ([150, 151, 149], 200, True, "ready"),
        ([0, 0, 0], 0, True, "ready"),
    ],
)
def test_the_usual_rule(values, tap, ready, says) -> None:
    level = judge_plateau(values, tap)
    assert level.ready is ready
    assert says in level.words


def test_the_rule_is_settable_and_says_itself() -> None:
    strict = PlateauRule(last=4, within=0.01, near_tap=0.02)
    assert not judge_plateau([212, 214, 210], 200, strict).ready
    assert judge_plateau([201, 201, 202, 201], 200, strict).ready
    assert "last 4 readings within 1%" in strict.words
