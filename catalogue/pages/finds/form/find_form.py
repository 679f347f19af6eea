"""The find's own columns, the town, bottler and product typed as words, and the rows below it: lettering
elsewhere on the vessel, and years known from elsewhere."""

from collections.abc import Iterable, Mapping
from typing import Any, cast

from django import forms

from catalogue.care.care_tables import care_tables
from catalogue.common.forms import HouseForm, WritingForm
from catalogue.common.forms.base import ModelFormBase
from catalogue.common.forms.composite import RowForm, RowSet, row_set
from catalogue.common.forms.fields import YearsField, choice_field, quantity_of, row_field
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.common.quantities import DEPTH, LENGTH, MASS, VOLUME
from catalogue.common.words import GAP_WORDS
from catalogue.pages.parts import choices
from catalogue.pages.parts.choices import CountrySelect
from catalogue.pages.parts.suggested_input import suggested
from catalogue.shelves.models import Place
from catalogue.specimens.models import Inscription, KnownYears, Specimen

SIZES = ("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml")
# Typed as words, kept as rows of their own.
TYPED = ("town", "bottler", "product")


class FindForm(WritingForm, ModelFormBase):
    """Everything of a find that is not its dive, its lettering or how it was made."""

    use_required_attribute = False

    town = forms.CharField(
        label="Town named on it",
        required=False,
        max_length=NAME_LENGTH,
        widget=suggested("town"),
        validators=[some_letter],
        help_text="Where the bottler sold; the glass may come from elsewhere.",
    )
    bottler = forms.CharField(required=False, max_length=NAME_LENGTH, widget=suggested("bottler"))
    product = forms.CharField(
        label="Product, by name", required=False, max_length=NAME_LENGTH, widget=suggested("product")
    )
    region = forms.ChoiceField(
        label="Made or sold in",
        required=False,
        widget=CountrySelect,
        help_text="Evidence from one country counts in full only there.",
    )
    colour = forms.ChoiceField(required=False, widget=forms.RadioSelect)
    new_place = forms.CharField(label="Or a new place", required=False, max_length=NAME_LENGTH)
    height_mm = quantity_of(Specimen, "height_mm", LENGTH, "Height")
    diameter_mm = quantity_of(Specimen, "diameter_mm", LENGTH, "Greatest diameter")
    base_mm = quantity_of(Specimen, "base_mm", LENGTH, "Base diameter")
    bore_mm = quantity_of(Specimen, "bore_mm", LENGTH, "Bore")
    mass_g = quantity_of(Specimen, "mass_g", MASS, "Mass")
    capacity_ml = quantity_of(Specimen, "capacity_ml", VOLUME, "Capacity")
    depth_m = quantity_of(Specimen, "depth_m", DEPTH, "Depth")

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
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "region").choices = choices.regions()
        choice_field(self, "colour").choices = choices.colours()
        place_field = row_field(self, "place")
        places = place_field.queryset = Place.objects.all()
        # Asked once, although a summary line reads them as well.
        place_field.choices = [("", "no place yet"), *places.values_list("pk", "path")]
        self.fields["stage"].required = False
        if self.instance.pk is None:
            self._begin_stage(kwargs.get("initial") or {})
        for name, word in (("kind", GAP_WORDS), ("contents", GAP_WORDS), ("look", "not decided")):
            self._blank_word(name, word)
        self._blank_word("lie", GAP_WORDS)
        for name in TYPED:
            self.initial.setdefault(name, str(getattr(self.instance, name) or ""))

    def _begin_stage(self, given: Mapping[str, Any]) -> None:
        """Of a new find it may be left to what is said of its dive (see `RecordSheet.agrees`)."""
        field = choice_field(self, "stage")
        field.choices = [("", "wet from a dive, done without one"), *Specimen.Stage.choices]
        self.initial["stage"] = given.get("stage", "")

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
        kept = self.instance.stage if self.instance.pk else ""
        return str(self.cleaned_data["stage"] or kept)

    @property
    def changed(self) -> set[str]:
        """The fields that were sent and differ from what the form started with."""
        return {name for name in self.changed_data if self.add_prefix(name) in self.data}

    def changed_columns(self) -> list[str]:
        """Those of them that were changed."""
        return [name for name in self.own_columns() if name in self.changed]

    def own_columns(self) -> list[str]:
        """The find's own columns that the form asks for; the place is not among them: it moves instead."""
        return [name for name in self._meta.fields or () if name != "place"]


class LetteringForm(RowForm):
    """Text as read, with where it is and how it was made."""

    asks = ("text",)
    told = ("text",)
    usual = ("where", "how", "says")

    class Meta:
        model = Inscription
        fields = ("text", "where", "how", "says")
        labels = {"says": "What it gives"}
        help_texts = {"text": "/ starts a new line, [..] is unread, ? is doubtful."}
        widgets = {
            "text": forms.TextInput(
                attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
            )
        }


def lettering_initial(inscription: Inscription) -> dict[str, Any]:
    """What the form shows for stored lettering."""
    return {name: getattr(inscription, name) for name in LetteringForm.Meta.fields}


Letterings = row_set(LetteringForm, RowSet)


class KnownForm(RowForm):
    """Not before, not after: said by whom."""

    asks = ("what", "from_year", "to_year", "edtf", "source")
    told = ("what",)
    usual = ("certainty",)

    edtf = YearsField(
        label="Or the years as written",
        required=False,
        max_length=60,
        help_text="1937, about 1930, the 1930s, 1926 to 1931, or one of several: [1926,1936].",
    )

    class Meta:
        model = KnownYears
        fields = ("what", "from_year", "to_year", "edtf", "certainty", "source")
        labels = {"what": "What is known", "certainty": "How sure"}
        help_texts = {
            "what": "Bottler listed in a directory, name changed, works closed.",
            "source": "Where you have it from.",
        }
        widgets = {
            name: forms.NumberInput(attrs={"inputmode": "numeric"}) for name in ("from_year", "to_year")
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("edtf") and (data.get("from_year") or data.get("to_year")):
            self.add_error("edtf", "Give the years in one way: not before and not after, or as written here.")
        return data


def known_initial(known: KnownYears) -> dict[str, Any]:
    """What the form shows for stored years."""
    return {name: getattr(known, name) for name in KnownForm.Meta.fields}


Knowns = row_set(KnownForm, RowSet)


# The keys of gates in the words of whoever has the piece in hand; the first four are the usual ones.
NOTICED = {
    "sealed": "sealed",
    "living": "something alive",
    "crack": "cracked",
    "sulphide": "smells of bad eggs",
    "munition": "may be munition",
    "remains": "bones or ashes",
    "metal": "metal or rust",
    "unstable": "flaking",
}


class HazardsForm(HouseForm):
    """What to take care with, noticed while recording; the look for everything is asked at the bench.

    Ticked is noticed; nothing ticked says nothing.
    """

    noticed = forms.MultipleChoiceField(
        label="Anything to take care with?", required=False, choices=list(NOTICED.items())
    )

    def hazards(self) -> list[str]:
        """The keys of the gates that were ticked, in the order of the table."""
        ticked = self.cleaned_data["noticed"]
        return [key for key in care_tables().gates if key in ticked]
