"""A town: what it is called, where it lies; notes on it, on a bottler, on a product."""

from typing import Any

from catalogue.common.forms import AngleField, HouseModelForm
from catalogue.common.limits import some_letter
from catalogue.common.positions import LATITUDE, LONGITUDE
from catalogue.specimens.countries import CountryField
from catalogue.specimens.models import Bottler, Product, Town


class TownForm(HouseModelForm):
    """Change a town. A place too small for the gazetteer gets its position typed."""

    country = CountryField(required=False)
    latitude = AngleField(LATITUDE, required=False, label="Latitude")
    longitude = AngleField(
        LONGITUDE, required=False, label="Longitude", help_text="In degrees, or degrees and minutes."
    )

    class Meta:
        model = Town
        fields = ["name", "region", "country", "latitude", "longitude", "notes"]

    def clean_name(self) -> str:
        name = str(self.cleaned_data["name"])
        some_letter(name)
        return name

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "latitude" in data and "longitude" in data:
            missing = [axis for axis in ("latitude", "longitude") if data[axis] is None]
            if len(missing) == 1:
                self.add_error(missing[0], "Give both latitude and longitude, or neither.")
        return data


class TownNotesForm(HouseModelForm):
    """The notes alone, written on the town's page."""

    class Meta:
        model = Town
        fields = ["notes"]
        labels = {"notes": "Your notes"}


class BottlerNotesForm(HouseModelForm):
    """The notes alone, written on the bottler's page."""

    class Meta:
        model = Bottler
        fields = ["notes"]
        labels = {"notes": "Your notes"}


class ProductNotesForm(HouseModelForm):
    """The notes alone, written on the product's page."""

    class Meta:
        model = Product
        fields = ["notes"]
        labels = {"notes": "Your notes"}
