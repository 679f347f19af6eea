"""Where the rim of the base lies in a picture, and how the strip is to run."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.photos.imaging import ImagingError
from catalogue.photos.plates import PercentPoint, Recipe

from .places import PlaceField
from .shots_form import ShotsForm

POINTS = tuple(f"p{n}" for n in range(1, 6))


class RimForm(HouseForm):
    """Three points on the rim, or five where the picture is tilted, and the middle."""

    use_required_attribute = False

    p1 = PlaceField(label="Rim, point 1")
    p2 = PlaceField(label="Rim, point 2")
    p3 = PlaceField(label="Rim, point 3")
    p4 = PlaceField(label="Rim, point 4")
    p5 = PlaceField(label="Rim, point 5")
    middle = PlaceField(
        label="Middle of the base", help_text="Worth a tap where the picture is tilted; else leave it out."
    )
    whole = forms.BooleanField(label="No round base: use the whole picture", required=False)
    start = forms.FloatField(
        label="Begin the strip at, degrees clockwise from the top", required=False, min_value=0, max_value=360
    )
    way = forms.ChoiceField(
        label="Heads of the letters",
        required=False,
        choices=[("outward", "point to the rim"), ("inward", "point to the middle")],
        widget=forms.RadioSelect,
    )

    def __init__(self, data: Any = None) -> None:
        if data is not None:
            data = data.copy()
            data.setdefault("way", "outward")
            data.setdefault("start", "0")
        super().__init__(data, initial={"start": 0, "way": "outward"})

    def rim(self) -> tuple[PercentPoint, ...]:
        """The points given, in their order."""
        given = (self.cleaned_data.get(name) for name in POINTS)
        return tuple(place for place in given if place is not None)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("whole") and not self.errors and len(self.rim()) < 3:
            raise forms.ValidationError("Tap at least three points on the rim, well spread around it.")
        return data

    def points(self) -> list[forms.BoundField]:
        return [self[name] for name in POINTS]


def recipe_of(shots: ShotsForm, rim: RimForm, **laid_out: float) -> Recipe:
    """The recipe of two valid forms, its rim fitted once. Raises ImagingError."""
    data = rim.cleaned_data
    recipe = Recipe(
        shots.shots(),
        shots.clocks(),
        shots.cleaned_data["rise"],
        rim=() if data.get("whole") else rim.rim(),
        middle=data.get("middle"),
        outward=data.get("way") != "inward",
        start_deg=(data.get("start") or 0.0) % 360,
        **laid_out,
    )
    if not recipe.rim and not data.get("whole"):
        raise ImagingError("Mark at least three points on the rim.")
    recipe.box()
    return recipe
