"""What each act on many finds asks for."""

from django import forms
from django.urls import reverse

from catalogue.care.models import Bath, Soak
from catalogue.common.forms import HouseForm
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.shelves.models import Place
from catalogue.specimens.models.words import Kind, Stage, Standing
from catalogue.specimens.services.trade import SeveralOfThatName, known_bottler

NOTHING_THERE_HELP = "Write a dash (-) to take away what they have."
DASH = "-"


class NothingToAsk(HouseForm):
    """An act that needs no more words."""


class PlaceForAll(HouseForm):
    place = forms.ModelChoiceField(
        Place.objects.order_by("path"), label="Place", required=False, empty_label="no place"
    )
    why = forms.CharField(label="Why", max_length=NAME_LENGTH, required=False)


class StageForAll(HouseForm):
    stage = forms.ChoiceField(label="How far along", choices=Stage.choices)


class StandingForAll(HouseForm):
    """Here still. What is gone has a day and a reason: `DepartureForm`."""

    standing = forms.ChoiceField(
        label="Standing", choices=[(each.value, each.label) for each in (Standing.KEPT, Standing.FREE)]
    )


class WordsForAll(HouseForm):
    """They go into the notes: the one long text of a find that visitors never see."""

    words = forms.CharField(
        label="Words to add",
        max_length=NAME_LENGTH,
        help_text="A line at the end of each piece’s notes. Search finds it; visitors never see it.",
    )

    def clean_words(self) -> str:
        return " ".join(self.cleaned_data["words"].split())


class NameForAll(HouseForm):
    """A name that is taken from the catalogue, or added to it."""

    def name_typed(self) -> str:
        """The name; empty for what is to be taken away."""
        typed = " ".join(str(self.cleaned_data["name"]).split())
        return "" if typed == DASH else typed


class TownForAll(NameForAll):
    name = forms.CharField(
        label="Town named on them",
        max_length=NAME_LENGTH,
        help_text=NOTHING_THERE_HELP,
        widget=forms.TextInput(attrs={"list": "names-known", "autocomplete": "off"}),
    )

    def clean_name(self) -> str:
        typed = str(self.cleaned_data["name"]).strip()
        if typed != DASH:
            some_letter(typed)
        return typed


class BottlerForAll(NameForAll):
    """Of namesakes in several towns none is taken unasked: the town is typed after a comma."""

    name = forms.CharField(
        label="Bottler",
        max_length=NAME_LENGTH,
        help_text=NOTHING_THERE_HELP,
        widget=forms.TextInput(attrs={"list": "names-known", "autocomplete": "off"}),
    )

    def clean_name(self) -> str:
        typed = " ".join(str(self.cleaned_data["name"]).split())
        try:
            known_bottler(typed)
        except SeveralOfThatName as why:
            raise forms.ValidationError(str(why)) from why
        return typed


class KindForAll(HouseForm):
    kind = forms.ChoiceField(label="Kind of vessel", choices=Kind.choices)


class OneOfThose(HouseForm):
    """One that must be there before: where there is none, the page says so, with the way to make it."""

    none_words = ""
    make_words = ""
    make_at = ""

    def nothing_to_choose(self) -> bool:
        """Whether there is none at all. One query."""
        (field,) = self.fields.values()
        assert isinstance(field, forms.ModelChoiceField) and field.queryset is not None
        return not field.queryset.exists()

    def make_address(self) -> str:
        """Where one is made."""
        return reverse(self.make_at)


class SoakForAll(OneOfThose):
    none_words = "No soak is going on that they could join."
    make_words = "Start a soak"
    make_at = "workbench:soak_new"

    soak = forms.ModelChoiceField(
        Soak.objects.filter(ended_at=None),
        label="Which soak",
        empty_label=None,
        error_messages={"required": "Start a soak first, on the bench."},
    )


class BathForAll(OneOfThose):
    none_words = "No bath is planned that they could join."
    make_words = "Plan a bath"
    make_at = "workbench:bath_new"

    bath = forms.ModelChoiceField(
        Bath.objects.filter(ended_at=None).select_related("vessel"),
        label="Which bath",
        empty_label=None,
        error_messages={"required": "Plan a bath first, on the bench."},
    )
