"""The form of a wish: in words, with years, and of a product, bottler, town or maker typed by name."""

from difflib import get_close_matches
from typing import Any

from django import forms
from django.http import QueryDict

from catalogue.common.forms import HouseModelForm
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.common.merged import once_named
from catalogue.pages.parts.suggested_input import suggested
from catalogue.specimens.models import Bottler, Maker, Product, Town, Wish
from catalogue.specimens.services.towns import bottler_named, product_named, town_named

WISHED: dict[str, Any] = {"product": Product, "bottler": Bottler, "town": Town, "maker": Maker}


class WishForm(HouseModelForm):
    """A wish says at least one thing."""

    product = forms.CharField(
        label="Product", required=False, max_length=NAME_LENGTH, widget=suggested("product")
    )
    bottler = forms.CharField(
        label="Bottler", required=False, max_length=NAME_LENGTH, widget=suggested("bottler")
    )
    town = forms.CharField(
        label="Town",
        required=False,
        max_length=NAME_LENGTH,
        widget=suggested("town"),
        validators=[some_letter],
    )
    maker = forms.CharField(
        label="Glassmaker",
        required=False,
        max_length=NAME_LENGTH,
        widget=forms.TextInput(attrs={"list": "makers-known", "autocomplete": "off"}),
    )

    class Meta:
        model = Wish
        fields = ["what", "from_year", "to_year", "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"to_year": "For one year alone, type it twice."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in WISHED:
            row = getattr(self.instance, name)
            self.initial[name] = str(row) if row else ""

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last = data.get("from_year"), data.get("to_year")
        if first and last and last < first:
            self.add_error("to_year", f"This is before {first}, the first year.")
        said = [data.get("what"), *(data.get(name) for name in WISHED)]
        if not self.errors and not any(said):
            self.add_error("what", "Say what you look for, or of whom or where it would be.")
        typed = " ".join(data.get("maker", "").split())
        if typed and typed != self.initial["maker"]:
            self._find_maker(typed)
        return data

    def _find_maker(self, typed: str) -> None:
        known = Maker.objects.filter(name__iexact=typed).order_by("reference_key", "pk").first()
        if found := known or once_named(Maker, typed):
            self.instance.maker = found
            return
        near = get_close_matches(typed, list(Maker.objects.values_list("name", flat=True)), n=3, cutoff=0.5)
        hint = f" Near it: {'; '.join(near)}." if near else " Add it on the makers page first."
        self.add_error("maker", f"No maker of that name is in the catalogue.{hint}")

    def save(self, commit: bool = True) -> Any:
        """Save it with what it is of; names that are new come into the catalogue."""
        wish, typed = self.instance, self.cleaned_data
        if "town" in self.changed_data:
            wish.town = town_named(typed["town"])
        if "bottler" in self.changed_data:
            wish.bottler = bottler_named(typed["bottler"], wish.town)
        if "product" in self.changed_data:
            wish.product = product_named(typed["product"], wish.bottler)
        if not typed["maker"]:
            wish.maker = None
        if wish._state.adding:
            wish.save()
        else:
            wish.save(update_fields=self.changed_columns())
        return wish


def wish_begun(query: QueryDict) -> Wish:
    """A new wish of what the address names: `?maker=…`, `?town=…`, `?bottler=…`, `?product=…`."""
    wish = Wish()
    for name, model in WISHED.items():
        if slug := query.get(name, ""):
            setattr(wish, name, model.objects.filter(slug=slug).first())
    return wish
