"""Reading the strength off a label."""

import pytest

from catalogue.care.chemistry import BadQuantity
from catalogue.care.label_strength import read_strength


@pytest.mark.parametrize(
    ("text", "wt_pct"),
    [
        ("31.45 %", 31.45),
        ("31,45 wt %", 31.45),
        ("hardware-store 31.45 %", 31.45),
        ("HCl 14.5 per cent", 14.5),
        ("20 °Bé", 31.45),
        ("20° Baumé", 31.45),
        ("20 Be", 31.45),
        ("22 °BE", 35.21),
        ("31.45 % by weight", 31.45),
        ("31.45 % w/w.", 31.45),
    ],
)
def test_as_labels_print_it(text: str, wt_pct: float) -> None:
    assert read_strength(text).wt_pct == pytest.approx(wt_pct, rel=0.01)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no plan"),
        ("strong", "no plan"),
        ("20", "% or °Bé"),
        ("0 %", "no plan"),
        ("60 %", "38 %"),
        ("-5 %", "more than 0"),
        ("10-15 %", "take the higher"),
        ("30 °Bé", "24 °Bé"),
        ("9" * 400, "no plan"),
        ("مركز 🧪", "no plan"),
        # what follows the number may make another strength of it
        ("31.45 % diluted by half", "only % or °Bé"),
        ("31.45 of the jug", "only % or °Bé"),
        ("20 °Bé or so", "only % or °Bé"),
    ],
)
def test_what_gives_no_plan_says_why(text: str, says: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        read_strength(text)
    assert says in str(refused.value)
