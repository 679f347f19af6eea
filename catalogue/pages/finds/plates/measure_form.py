"""Two taps on something of known size, two taps on the bottle."""

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Field

from catalogue.common.forms import HouseForm
from catalogue.photos.imaging import ImagingError, Measured, distance_px, measure
from catalogue.photos.models import Photo
from catalogue.photos.plates.recipe import pixel
from catalogue.photos.scales import COINS, RULER
from catalogue.specimens.models import Specimen

from .places import PlaceField

SIZES = {
    "height_mm": "height",
    "diameter_mm": "greatest diameter",
    "base_mm": "base diameter",
    "bore_mm": "bore",
}
# How far a tap under the magnifier may be off, as a share of the longer side of the picture (our own value).
TAP_SHARE = 0.0015


class MeasureForm(HouseForm):
    """`measured()` after `is_valid()`. Lengths in mm."""

    use_required_attribute = False

    s1 = PlaceField(label="Scale, one end", required=True)
    s2 = PlaceField(label="Scale, other end", required=True)
    b1 = PlaceField(label="Bottle, one side", required=True)
    b2 = PlaceField(label="Bottle, other side", required=True)
    coin = forms.ChoiceField(
        label="What the scale is",
        required=False,
        choices=[("", RULER.name), *((coin.key, coin.words) for coin in COINS.values())],
    )
    scale_mm = forms.FloatField(
        label="Between the taps on the ruler, mm", required=False, min_value=1, max_value=2000
    )
    what = forms.ChoiceField(label="What it is on the bottle", choices=list(SIZES.items()))
    nearer_mm = forms.FloatField(
        label="The bottle lies nearer to the camera by, mm",
        required=False,
        min_value=-500,
        max_value=500,
        help_text="Half its thickness where the scale lies on the table; below 0 where it lies further away.",
    )
    camera_mm = forms.FloatField(
        label="The camera stood away, mm",
        required=False,
        min_value=50,
        max_value=20_000,
        help_text="Left out, three times the larger of the two lengths is taken.",
    )

    def __init__(self, data: Any = None, *, photo: Photo) -> None:
        super().__init__(data, initial={"nearer_mm": 0})
        self.photo = photo

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("coin") and data.get("scale_mm") is None and "scale_mm" not in self.errors:
            self.add_error("scale_mm", "Give the length between the two taps, or choose the coin.")
        if not self.errors:
            try:
                self.measured()
            except ImagingError as why:
                raise forms.ValidationError(str(why)) from None
            self._within_bounds()
        return data

    def _within_bounds(self) -> None:
        """What the record would refuse is said here. Raises ValidationError."""
        column = Specimen._meta.get_field(self.cleaned_data["what"])
        assert isinstance(column, Field)
        mm = self.rounded()
        for check in column.validators:
            try:
                check(mm)
            except forms.ValidationError as why:
                said = " ".join(why.messages)
                raise forms.ValidationError(f"That would be {mm:,.1f} mm. {said} Check the taps.") from None

    def measured(self) -> Measured:
        """The size with its error. Raises ImagingError."""
        data = self.cleaned_data
        wide, high = self.photo.width, self.photo.height
        scale, bottle = (
            distance_px(pixel(data[one], wide, high), pixel(data[other], wide, high))
            for one, other in (("s1", "s2"), ("b1", "b2"))
        )
        coin = COINS.get(data["coin"])
        return measure(
            scale,
            coin.mm if coin else data["scale_mm"],
            bottle,
            scale_error_mm=coin.error_mm if coin else RULER.error_mm,
            tap_px=TAP_SHARE * max(wide, high),
            camera_mm=data["camera_mm"],
            nearer_mm=data["nearer_mm"] or 0.0,
        )

    def rounded(self) -> Decimal:
        """To the tenth of a mm that the record keeps."""
        return Decimal(f"{self.measured().mm:.1f}")

    def places(self) -> list[forms.BoundField]:
        return [self[name] for name in ("s1", "s2", "b1", "b2")]
