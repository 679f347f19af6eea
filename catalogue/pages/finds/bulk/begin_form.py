"""What holds for every bottle of a shelf, asked once."""

from typing import Any

from django import forms

from catalogue.common.limits import NAME_LENGTH
from catalogue.pages.parts.recovered import RecoveredField
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen


class BeginForm(forms.Form):
    """The place, and what is known of all its bottles together."""

    use_required_attribute = False

    place = forms.ModelChoiceField(
        Place.objects.only("path", "name"),
        label="Where they stand",
        required=False,
        empty_label="choose a place",
    )
    new_place = forms.CharField(
        label="Or a new place",
        required=False,
        max_length=NAME_LENGTH,
        help_text="Attic box 3, hall case: as you would say it to find them again.",
    )
    kind = forms.ChoiceField(
        label="Most of them are",
        required=False,
        choices=[("", "mixed, or not known"), *Specimen.Kind.choices],
        help_text="Each can be changed on its own.",
    )
    recovered = RecoveredField(
        label="Came up about",
        required=False,
        max_length=40,
        help_text="A year, about 1995, the 1990s, or 1990 to 1995. Leave it empty if nobody knows.",
    )
    site = forms.ModelChoiceField(
        Site.objects.only("name"),
        label="Site, if it is the same for all",
        required=False,
        empty_label="not known",
    )
    stage = forms.ChoiceField(
        label="How far along they are", choices=Specimen.Stage.choices, initial=Specimen.Stage.DONE
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        new = " ".join((data.get("new_place") or "").split())
        if data.get("place") and new:
            self.add_error("new_place", "Choose a place or name a new one, not both.")
        elif not data.get("place") and not new and not {"place", "new_place"} & set(self.errors):
            self.add_error("place", "Say where they stand, so that they can be found again.")
        data["new_place"] = new
        return data

    def chosen_place(self) -> Place:
        """The place chosen, or the one named: at the top, made where there is none of that name."""
        name = self.cleaned_data["new_place"]
        if not name:
            return self.cleaned_data["place"]
        known = Place.objects.filter(name__iexact=name, parent=None).first()
        return known or keep_place(Place(name=name))
