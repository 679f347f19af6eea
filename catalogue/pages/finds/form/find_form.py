"""The find's own columns, and the town, bottler and product typed as words."""

from collections.abc import Iterable
from typing import Any, cast

from django import forms

from catalogue.common.forms import WritingForm
from catalogue.common.forms.base import ModelFormBase
from catalogue.common.forms.fields import choice_field, row_field
from catalogue.common.limits import NAME_LENGTH
from catalogue.pages.parts import choices
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen

SIZES = ("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml")
# Typed as words, kept as rows of their own.
TYPED = ("town", "bottler", "product")


def suggested(kind: str, **attrs: Any) -> forms.TextInput:
    """A text box whose browser list is filled from what is already in the catalogue."""
    return forms.TextInput(
        attrs={
            "list": f"{kind}-known",
            "autocomplete": "off",
            "hx-get": f"/finds/suggest/{kind}/",
            "hx-trigger": "input changed delay:250ms",
            "hx-target": f"#{kind}-known",
            "hx-sync": "this:replace",
            "hx-params": kind,
            **attrs,
        }
    )


class FindForm(WritingForm, ModelFormBase):
    """Everything of a find that is not its dive, its lettering or how it was made."""

    use_required_attribute = False

    town = forms.CharField(
        label="Town named on it",
        required=False,
        max_length=NAME_LENGTH,
        widget=suggested("town"),
        help_text="Where the bottler sold; the glass may come from elsewhere.",
    )
    bottler = forms.CharField(required=False, max_length=NAME_LENGTH, widget=suggested("bottler"))
    product = forms.CharField(
        label="Product, by name", required=False, max_length=NAME_LENGTH, widget=suggested("product")
    )
    region = forms.ChoiceField(
        label="Made or sold in",
        required=False,
        help_text="Evidence from one country counts in full only there.",
    )
    colour = forms.ChoiceField(required=False, widget=forms.RadioSelect)
    new_place = forms.CharField(label="Or a new place", required=False, max_length=NAME_LENGTH)

    class Meta:
        model = Specimen
        fields = (
            "what",
            "kind",
            "contents",
            "region",
            "colour",
            *SIZES,
            "look",
            "stage",
            "place",
            "where_on_site",
            "depth_m",
            "lie",
            "found_with",
            "notes",
            "story",
            "field_tag",
            "older_numbers",
        )
        labels = {
            "what": "What it is",
            "stage": "How far along",
            "where_on_site": "Where on the site",
            "story": "Its story, for whoever it goes to",
            "look": "Look aimed at",
        }
        help_texts = {
            "what": "In a few words: aqua ginger-beer bottle.",
            "field_tag": "The tag tied on under water.",
            "older_numbers": "Numbers it had before, commas between.",
            "found_with": "What lay beside it.",
        }
        widgets = {
            "what": suggested("what", autocapitalize="sentences", enterkeyhint="next"),
            "look": forms.RadioSelect,
            "lie": forms.RadioSelect,
            "notes": forms.Textarea(attrs={"rows": 3}),
            "story": forms.Textarea(attrs={"rows": 3}),
            **{name: forms.NumberInput(attrs={"inputmode": "decimal"}) for name in (*SIZES, "depth_m")},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "region").choices = choices.regions()
        choice_field(self, "colour").choices = choices.colours()
        place_field = row_field(self, "place")
        places = place_field.queryset = Place.objects.only("path", "name")
        # Asked once, although a summary line reads them as well.
        place_field.choices = [("", "no place yet"), *((place.pk, str(place)) for place in places)]
        self.fields["stage"].required = False
        for name, word in (("kind", "not said"), ("contents", "not known"), ("look", "not decided")):
            self._blank_word(name, word)
        self._blank_word("lie", "not known")
        for name in TYPED:
            self.initial.setdefault(name, str(getattr(self.instance, name) or ""))

    def _blank_word(self, name: str, word: str) -> None:
        field = choice_field(self, name)
        kept = [choice for choice in cast(Iterable[Any], field.choices) if choice[0] != ""]
        field.choices = [("", word), *kept]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("place") and data.get("new_place"):
            self.add_error("new_place", "Choose a place or name a new one, not both.")
        return data

    def clean_stage(self) -> str:
        return str(self.cleaned_data["stage"] or self.instance.stage)

    @property
    def changed(self) -> set[str]:
        """The fields that were sent and differ from what the form started with."""
        return {name for name in self.changed_data if self.add_prefix(name) in self.data}

    def changed_columns(self) -> list[str]:
        """The find's own columns that were changed; the place is not among them: it moves instead."""
        return [name for name in self._meta.fields or () if name in self.changed and name != "place"]
