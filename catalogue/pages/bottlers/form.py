"""The form of a bottler."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseModelForm
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.pages.makers.form.maker import years_in_order
from catalogue.pages.parts.suggested_input import suggested
from catalogue.specimens.models import Bottler
from catalogue.specimens.services.towns import town_named


class BottlerForm(HouseModelForm):
    """Change a bottler. Its years in business bear on the years of its pieces."""

    town = forms.CharField(
        label="Town that it sold in",
        required=False,
        max_length=NAME_LENGTH,
        widget=suggested("town"),
        validators=[some_letter],
    )

    class Meta:
        model = Bottler
        fields = ["name", "from_year", "to_year", "years_certainty", "source", "notes"]
        labels = {"years_certainty": "How sure", "source": "Where you know the years from"}
        help_texts = {"to_year": "Both are used in dating its pieces; leave empty what is not known."}

    field_order = ["name", "town"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["town"] = str(self.instance.town or "")

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        years_in_order(self, data, "from_year", "to_year")
        if "town" in self.changed_data and "town" in data:
            # made where it is new; taken back with everything else where the form is refused
            self.instance.town = town_named(data["town"])
        return data

    def _get_validation_exclusions(self) -> set[str]:
        # two bottlers of one name in one town are refused by the field of the name
        return super()._get_validation_exclusions() - {"town"}
