"""Which plate is looked at, how it is turned, and the lamp that lights a relief."""

from collections.abc import Sequence
from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import choice_field
from catalogue.photos.plates import MovableLamp, PlateLook

USUAL = {"turn": 0.0, "inner": 30.0, "at": 10.5, "high": 25.0, "steep": 4.0}


class Slider(forms.NumberInput):
    """A number that is set by sliding."""

    input_type = "range"


def dial(label: str, low: float, high: float, step: float, **attrs: str) -> forms.FloatField:
    """A number set by sliding, between bounds that the slider knows."""
    widget = Slider(attrs={"step": f"{step:g}", **attrs})
    return forms.FloatField(label=label, required=False, min_value=low, max_value=high, widget=widget)


class LookForm(HouseForm):
    """Anything left out takes its usual value."""

    use_required_attribute = False

    look = forms.ChoiceField(label="Plate", required=False, widget=forms.RadioSelect)
    turn = dial("Turn the round plate, degrees", 0, 359, 1)
    inner = dial("Strip reaches in to, per cent of the radius", 10, 85, 5)
    at = dial("Lamp at, o’clock", 0, 12, 0.25, **{"data-lamp": "clock"})
    high = dial("Lamp’s height, degrees", 3, 85, 1, **{"data-lamp": "high"})
    steep = dial("Slopes made steeper, times", 1, 20, 1, **{"data-lamp": "steep"})

    def __init__(self, data: Any = None, *, looks: Sequence[PlateLook]) -> None:
        super().__init__(data)
        choice_field(self, "look").choices = [(look.value, look.label) for look in looks]
        best = PlateLook.RAISED if PlateLook.RAISED in looks else looks[-1]
        # A plate shows from the first moment, so every field starts on something.
        filled = self.data.copy()
        filled.setdefault("look", best)
        for name, usual in USUAL.items():
            if not filled.get(name):
                filled[name] = f"{usual:g}"
        self.data = filled

    @property
    def shown(self) -> PlateLook:
        """The look asked for, after `is_valid()`."""
        return PlateLook(self.cleaned_data["look"])

    def laid_out(self) -> dict[str, float]:
        """What of it belongs to a recipe."""
        return {"turn_deg": self.cleaned_data["turn"], "inner": self.cleaned_data["inner"] / 100}

    def lamp(self) -> MovableLamp:
        data = self.cleaned_data
        return MovableLamp(data["at"], data["high"], data["steep"])
