"""What the steps of a plate ask: pictures and where the lamp stood, where the rim lies, what is looked at."""

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import choice_field
from catalogue.photos.imaging import ImagingError
from catalogue.photos.models import Photo
from catalogue.photos.plates import MovableLamp, PercentPoint, PlateLook, PlateShot, Recipe
from catalogue.specimens.models import Specimen

_TWO = re.compile(r"\s*(\d{1,3}(?:\.\d{1,6})?)\s*[,; ]\s*(\d{1,3}(?:\.\d{1,6})?)\s*")
HOW = "Give two numbers from 0 to 100: per cent from the left, then from the top, such as 41.5, 20."


class PlaceField(forms.CharField):
    """Gives (per cent from the left, per cent from the top), or None where nothing was typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        kwargs.setdefault("max_length", 30)
        kwargs.setdefault(
            "widget",
            forms.TextInput(attrs={"autocomplete": "off", "placeholder": "left, top", "data-place": ""}),
        )
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        found = _TWO.fullmatch(text)
        if found is None:
            raise ValidationError(HOW)
        place = float(found[1]), float(found[2])
        if max(place) > 100:
            raise ValidationError(HOW)
        return place

    def prepare_value(self, value: Any) -> Any:
        return f"{value[0]:.2f}, {value[1]:.2f}" if isinstance(value, tuple) else value


FEWEST_SHOTS, MOST_SHOTS = 4, 8
_SEVERAL = f"{FEWEST_SHOTS} to {MOST_SHOTS} of the same base under a lamp from different sides"
HOW_MANY = f"Choose one picture, or {_SEVERAL}."
# What a caption may say of the lamp; it saves typing the hour again.
_DEGREES = re.compile(r"lamp at (\d{1,3}(?:\.\d)?)\s*°")
_HOURS = re.compile(r"lamp at (\d{1,2}(?:\.\d{1,2})?)\s*o[’']clock")


class LampWords:
    UNKNOWN, AROUND, TYPED = "unknown", "around", "typed"
    CHOICES = (
        (TYPED, "as typed beside each picture"),
        (AROUND, "from 12 o’clock evenly round clockwise, in the order of the pictures"),
        (UNKNOWN, "not recorded"),
    )


class ShotsForm(HouseForm):
    """Bound to an address's query; `shots()` and `clocks()` after `is_valid()`."""

    use_required_attribute = False

    lamp = forms.ChoiceField(
        label="Where the lamp stood", required=False, choices=LampWords.CHOICES, widget=forms.RadioSelect
    )
    rise = forms.FloatField(
        label="How high the lamp stood, in degrees above the table",
        required=False,
        min_value=3,
        max_value=80,
        help_text="About 25 where the lamp stands half as high as it is far away.",
    )

    def __init__(self, data: Any = None, *, photos: Sequence[Photo]) -> None:
        super().__init__(data, initial={"rise": 25, "lamp": LampWords.TYPED})
        self.photos = {str(photo.pk): photo for photo in photos}
        self.chosen: list[Photo] = []
        for photo in photos:
            self.fields[clock_name(photo)] = forms.FloatField(
                label="Lamp at, o’clock",
                required=False,
                min_value=0,
                max_value=12,
                initial=clock_in(photo.caption),
                widget=forms.NumberInput(attrs={"step": "0.25", "inputmode": "decimal"}),
            )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        keys = list(dict.fromkeys(self.data.getlist("photo"))) if self.is_bound else []
        self.chosen = [self.photos[key] for key in keys if key in self.photos]
        if len(self.chosen) != len(keys):
            raise forms.ValidationError("One of these pictures is no longer here: choose again.")
        if len(self.chosen) != 1 and not FEWEST_SHOTS <= len(self.chosen) <= MOST_SHOTS:
            raise forms.ValidationError(HOW_MANY)
        if len({(photo.width, photo.height) for photo in self.chosen}) > 1:
            raise forms.ValidationError(
                "These pictures differ in size, so the camera moved or they were cut: choose others."
            )
        data["rise"] = data.get("rise") or 25.0
        if len(self.chosen) > 1 and data.get("lamp", "") == LampWords.TYPED:
            lacking = [photo for photo in self.chosen if data.get(clock_name(photo)) is None]
            for photo in lacking:
                if clock_name(photo) not in self.errors:
                    self.add_error(clock_name(photo), "At which hour did the lamp stand?")
        return data

    def shots(self) -> tuple[PlateShot, ...]:
        """The pictures in the order chosen."""
        return tuple(PlateShot(p.sha256, p.format, p.width, p.height, p.pk) for p in self.chosen)

    def clocks(self) -> tuple[float, ...] | None:
        """The lamp's hour for each picture, or None where there is one picture or it wasn't noted."""
        how = self.cleaned_data["lamp"]
        if len(self.chosen) == 1 or how not in (LampWords.AROUND, LampWords.TYPED):
            return None
        if how == LampWords.AROUND:
            return tuple(12 * n / len(self.chosen) for n in range(len(self.chosen)))
        return tuple(self.cleaned_data[clock_name(photo)] for photo in self.chosen)

    def rows(self) -> list[tuple[Photo, bool, forms.BoundField]]:
        """Each picture, whether it is chosen, and its hour."""
        wanted = set(self.data.getlist("photo")) if self.is_bound else set()
        return [(photo, key in wanted, self[clock_name(photo)]) for key, photo in self.photos.items()]


def clock_name(photo: Photo) -> str:
    return f"clock-{photo.pk}"


def clock_in(caption: str) -> float | None:
    """The hour that a caption tells, such as "lamp at 3 o'clock" or "lamp at 90°"."""
    if found := _HOURS.search(caption):
        return min(12.0, float(found[1]))
    if found := _DEGREES.search(caption):
        return float(found[1]) % 360 / 30
    return None


def sources_of(find: Specimen) -> list[Photo]:
    """The find's own pictures, those of the base first: neither plates nor other people's pictures."""
    photos = Photo.objects.of(find).exclude(role__in=Photo.PRIVATE).in_order()
    return sorted(photos, key=lambda photo: photo.role != Photo.Role.BASE)


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
