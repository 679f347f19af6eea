"""Which pictures of a find a plate is made of, and where the lamp stood for each."""

import re
from collections.abc import Sequence
from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.photos.models import Photo
from catalogue.photos.plates import PlateShot
from catalogue.specimens.models import Specimen

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
        (UNKNOWN, "not noted"),
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
