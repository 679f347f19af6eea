"""Measuring a find in one of its pictures: two taps on something of known size, two on the bottle; nothing is
written before it is confirmed."""

from decimal import Decimal
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import QuantityField, quantity_of
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.localisation import about, said, said_in_figures
from catalogue.common.quantities import LENGTH
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.photos.imaging import DEPTH_ERROR_MM, ImagingError, Measured, distance_px
from catalogue.photos.imaging import measure as measured_size
from catalogue.photos.models import Photo, PictureScale
from catalogue.photos.plates.recipe import pixel
from catalogue.photos.scales import COINS, RULER, Coin
from catalogue.photos.services.measuring import write_size
from catalogue.specimens.models import Specimen

from .forms import PlaceField, sources_of

MEASURABLE_SIZES = {
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
        choices=lambda: [("", RULER.name), *((coin.key, coin_words(coin)) for coin in COINS.values())],
    )
    scale_mm = QuantityField(LENGTH, label="Between the taps on the ruler", least=1, most=2000)
    what = forms.ChoiceField(label="What it is on the bottle", choices=list(MEASURABLE_SIZES.items()))
    nearer_mm = QuantityField(
        LENGTH,
        label="The bottle lies nearer to the camera by",
        least=-500,
        most=500,
        signed=True,
        help_text="Half its thickness where the scale lies on the table; below 0 where it lies further away.",
    )
    camera_mm = QuantityField(
        LENGTH,
        label="The camera stood away",
        least=50,
        most=20_000,
        help_text="Left out, three times the larger of the two lengths is taken.",
    )

    def __init__(self, data: Any = None, *, photo: Photo) -> None:
        super().__init__(data, initial={"nearer_mm": 0, **known_scale(photo)})
        self.photo = photo

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name in ("scale_mm", "nearer_mm", "camera_mm"):
            if data.get(name) is not None:
                data[name] = float(data[name])
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
        mm = self.rounded()
        try:
            quantity_of(Specimen, self.cleaned_data["what"], LENGTH, "").validate(mm)
        except forms.ValidationError as why:
            reason = " ".join(why.messages)
            raise forms.ValidationError(
                f"That would be {said(mm, LENGTH)}. {reason} Check the taps."
            ) from None

    def measured(self) -> Measured:
        """The size with its error. Raises ImagingError."""
        data = self.cleaned_data
        wide, high = self.photo.width, self.photo.height
        scale, bottle = (
            distance_px(pixel(data[one], wide, high), pixel(data[other], wide, high))
            for one, other in (("s1", "s2"), ("b1", "b2"))
        )
        coin = COINS.get(data["coin"])
        return measured_size(
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

    def scale(self) -> PictureScale:
        """Where the scale lies, as shares of the picture, and its length; not saved."""
        data = self.cleaned_data
        coin = COINS.get(data["coin"])
        (left_1, top_1), (left_2, top_2) = data["s1"], data["s2"]
        return PictureScale(
            left_1=left_1,
            top_1=top_1,
            left_2=left_2,
            top_2=top_2,
            length_mm=coin.mm if coin else data["scale_mm"],
            coin=coin.key if coin else "",
        )

    def places(self) -> list[forms.BoundField]:
        return [self[name] for name in ("s1", "s2", "b1", "b2")]


def coin_words(coin: Coin) -> str:
    """What a person reads: name, size and what that rests on."""
    return f"{coin.name}, {said(coin.mm, LENGTH)} across ({coin.basis})"


def known_scale(photo: Photo) -> dict[str, Any]:
    """What the form begins with where the scale of the picture was tapped before. One query."""
    scale = PictureScale.objects.filter(photo=photo).first()
    if scale is None:
        return {}
    coin = scale.coin if scale.coin in COINS else ""
    return {
        "s1": (scale.left_1, scale.top_1),
        "s2": (scale.left_2, scale.top_2),
        "coin": coin,
        "scale_mm": None if coin else scale.length_mm,
    }


CAUSES = {
    "scale": "the scale itself",
    "tap": "where you tapped",
    "depth": "{depth} more or less in depth",
    "lens": "the lens",
}
TAPPED_PLACES = ("s1", "s2", "b1", "b2")


def causes_of(found: Measured) -> list[tuple[str, float]]:
    """What makes the error, in words, and how much of it each would by itself, in mm."""
    depth = about(DEPTH_ERROR_MM, LENGTH)
    return [(CAUSES[name].format(depth=depth), mm) for name, mm in found.parts_mm.items()]


@vary_on_headers("HX-Request")
@require_safe
def measure(request: HtmxRequest, number: str) -> HttpResponse:
    """Choose a picture; tap; see the size with its error. Live changes get the answer alone."""
    find = plain_find(number)
    photos = [photo for photo in sources_of(find) if photo.pk]
    photo = next((p for p in photos if str(p.pk) == request.GET.get("photo", "")), None)
    if photo is None:
        gone = "photo" in request.GET
        page = {"find": find, "photos": photos, "gone": gone, "address": f"find={find.pk}"}
        return render(request, "pages/finds/plates/measure_choose.html", page, status=404 if gone else 200)
    asked = any(request.GET.get(name) for name in TAPPED_PLACES)
    return show(request, find, MeasureForm(request.GET if asked else None, photo=photo), tried=asked)


@require_POST
@kept_once
def write(request: HtmxRequest, number: str) -> HttpResponse:
    """Write the size into the record, worked out once more from the same taps."""
    find = plain_find(number)
    photo = next((p for p in sources_of(find) if str(p.pk) == request.POST.get("photo", "")), None)
    if photo is None:
        messages.error(request, "This picture is no longer here: choose another.")
        return redirect("finds:measure", number)
    form = MeasureForm(request.POST, photo=photo)
    if not form.is_valid():
        return show(request, find, form, tried=True)
    column, found = form.cleaned_data["what"], form.measured()
    write_size(find, column, form.rounded(), found, photo, form.scale())
    messages.success(
        request,
        f"The {MEASURABLE_SIZES[column]} is saved: {said_in_figures(found.mm, LENGTH)}, "
        f"give or take {said_in_figures(found.error_mm, LENGTH)}. "
        "So is the scale of this picture: the next size in it needs two taps.",
    )
    return redirect(find)


def show(request: HtmxRequest, find: Specimen, form: MeasureForm, *, tried: bool) -> HttpResponse:
    """The page, or for a live change only the answer."""
    found = form.measured() if form.is_bound and form.is_valid() else None
    page = {
        "find": find,
        "photo": form.photo,
        "form": form,
        "scale_known": not form.is_bound and "s1" in form.initial,
        "tall": round(100 * form.photo.height / form.photo.width, 3),
        "grid": range(10, 100, 10),
        "found": found,
        "causes": [
            (CAUSES[name].format(depth=about(DEPTH_ERROR_MM, LENGTH)), mm)
            for name, mm in found.parts_mm.items()
        ]
        if found
        else [],
        "column": MEASURABLE_SIZES.get(form.cleaned_data["what"], "") if found else "",
        "now": getattr(find, form.cleaned_data["what"]) if found else None,
        "sent": [(name, form[name].value()) for name in form.fields if form[name].value() not in (None, "")]
        if found
        else [],
    }
    if request.htmx:
        return render(request, "pages/finds/plates/measured.html", page)
    return render(
        request, "pages/finds/plates/measure.html", page, status=422 if tried and form.errors else 200
    )
