"""The maker itself."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseModelForm
from catalogue.common.merged import once_named
from catalogue.specimens.countries import CountryField
from catalogue.specimens.models import Maker
from catalogue.specimens.services.makers import own_maker_named

# What the tables say of a published maker; marks of one's own may have been merged into it.
AS_PUBLISHED = ("name", "place", "country", "source")


class MakerForm(HouseModelForm):
    """Only the name is needed. What the tables say of a published one stays as it is."""

    country = CountryField(required=False)

    class Meta:
        model = Maker
        fields = ["name", "place", "from_year", "to_year", "country", "source", "notes"]
        labels = {
            "name": "Name of the maker",
            "place": "Works, and where",
            "source": "Where you know it from",
        }
        help_texts = {"place": "The glassworks' town, or “works, town”."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.instance.is_own:
            for name in AS_PUBLISHED:
                self.fields[name].disabled = True

    def clean_name(self) -> str:
        if not self.instance.is_own:
            return str(self.instance.name)
        name = " ".join(self.cleaned_data["name"].split())
        if own_maker_named(name, besides=self.instance):
            raise forms.ValidationError(
                "You have a maker of that name already. Change that one, or add its place to the name."
            )
        if self.instance.pk is None and (merged := once_named(Maker, name)):
            raise forms.ValidationError(
                f"You merged a maker of that name into {merged}. Give another name, or undo that on its page."
            )
        return name

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        years_in_order(self, data, "from_year", "to_year")
        return data


class NotesForm(HouseModelForm):
    """What may be changed on a published maker: notes of one's own."""

    class Meta:
        model = Maker
        fields = ["notes"]


def years_in_order(form: forms.BaseForm, data: dict[str, Any], first: str, last: str) -> None:
    """Put the complaint beside the later year, not at the top of the form."""
    if data.get(first) and data.get(last) and data[last] < data[first]:
        form.add_error(last, f"This is before {data[first]}, the first year.")
