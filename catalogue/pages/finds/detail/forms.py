"""The small forms on a find's page."""

from difflib import get_close_matches
from typing import Any

from django import forms
from django.utils import timezone

from catalogue.common.forms import CertainDateInput, HouseForm, HouseModelForm
from catalogue.common.limits import NAME_LENGTH
from catalogue.common.merged import once_named
from catalogue.people.forms import NameInput
from catalogue.shelves.models import Place
from catalogue.specimens.models import Bottler, Maker, Opinion, Product, Specimen, Works
from catalogue.specimens.numbers import read_number

About = Opinion.About


class MoveForm(HouseForm):
    """To another place, or to none; where it stands was shown, so that two moves at once are told."""

    place = forms.ModelChoiceField(
        Place.objects.all(), label="Place", required=False, empty_label="no place (out of its place)"
    )
    why = forms.CharField(label="Why", max_length=NAME_LENGTH, required=False)

    @property
    def shows_record(self) -> bool:
        return True


class MatchForm(HouseForm):
    """Another find by its number."""

    number = forms.CharField(label="Match with", max_length=24, help_text="Its number: 2026.14.3")

    def __init__(self, *args: Any, find: Specimen, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "match-%s")
        super().__init__(*args, **kwargs)
        self.find = find

    def clean_number(self) -> Specimen:
        typed = read_number(self.cleaned_data["number"])
        if typed is None:
            raise forms.ValidationError("Write the number as on its label: 2026.14.3.")
        other = Specimen.objects.filter(number=str(typed)).select_related("twin_group").first()
        if other is None:
            raise forms.ValidationError(f"There is no find {typed}.")
        if other.pk == self.find.pk:
            raise forms.ValidationError("A piece can't be its own twin.")
        return other


class PartForm(HouseForm):
    """A part that gets its own record under the same number."""

    what = forms.CharField(label="What part", max_length=NAME_LENGTH, initial="Stopper")


class OpinionForm(HouseModelForm):
    """What somebody thinks. A maker, works, bottler or product is one that the catalogue knows by name."""

    by_name = forms.CharField(
        label="Whose opinion",
        max_length=NAME_LENGTH,
        required=False,
        widget=NameInput,
        help_text="Leave empty for your own.",
    )

    class Meta:
        model = Opinion
        fields = ("about", "value", "on", "reason", "source")
        widgets = {
            "on": CertainDateInput(),
            "value": forms.TextInput(attrs={"list": "opinion-values", "autocomplete": "off"}),
            "reason": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {"value": "What is thought", "on": "On"}

    field_order = ("about", "value", "by_name", "on", "reason", "source")

    def __init__(self, *args: Any, find: Specimen, **kwargs: Any) -> None:
        # Several forms stand on the page: each has ids of its own.
        kwargs.setdefault("auto_id", "opinion-%s")
        super().__init__(*args, **kwargs)
        self.instance.find = find
        self.initial.setdefault("on", timezone.localdate())

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        value = " ".join(data.get("value", "").split())
        about = data.get("about")
        if not value or not about:
            return data
        if about == About.MAKER:
            self._maker(value)
        elif about == About.WORKS:
            self.instance.works = Works.objects.filter(name__iexact=value).first()
        elif about == About.BOTTLER:
            known_as = Bottler.objects.filter(name__iexact=value).first()
            self.instance.bottler = known_as or once_named(Bottler, value)
        elif about == About.PRODUCT:
            sold_as = Product.objects.filter(name__iexact=value).first()
            self.instance.product = sold_as or once_named(Product, value)
        return data

    def _maker(self, value: str) -> None:
        """A maker has to be a known one, since it decides which marks are candidates."""
        known = Maker.objects.filter(name__iexact=value).order_by("reference_key", "pk").first()
        if found := known or once_named(Maker, value):
            self.instance.maker = found
            return
        names = list(Maker.objects.values_list("name", flat=True))
        near = get_close_matches(value, names, n=3, cutoff=0.5)
        hint = f" Near it: {'; '.join(near)}." if near else " Add it on the makers page first."
        self.add_error("value", f"No maker of that name is in the catalogue.{hint}")
