"""The form of a product."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseModelForm
from catalogue.common.limits import NAME_LENGTH
from catalogue.common.words import GAP_WORDS
from catalogue.pages.parts.suggested_input import suggested
from catalogue.specimens.models import Product
from catalogue.specimens.services.trade import SeveralOfThatName, bottler_meant, told_apart


class ProductForm(HouseModelForm):
    """Change a product."""

    bottler = forms.CharField(
        label="Bottler who filled it",
        required=False,
        max_length=2 * NAME_LENGTH,
        widget=suggested("bottler"),
        help_text="Of two by one name, write the town after a comma.",
    )

    class Meta:
        model = Product
        fields = ["name", "contents", "notes"]
        labels = {"contents": "What it was"}

    field_order = ["name", "bottler"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["bottler"] = told_apart(self.instance.bottler) if self.instance.bottler else ""
        contents = self.fields["contents"]
        assert isinstance(contents, forms.ChoiceField)
        contents.choices = [("", GAP_WORDS), *Product._meta.get_field("contents").flatchoices]

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "bottler" in self.changed_data and "bottler" in data:
            try:
                # made where it is new; taken back with everything else where the form is refused
                self.instance.bottler = bottler_meant(data["bottler"])
            except SeveralOfThatName as why:
                self.add_error("bottler", str(why))
        same = Product.objects.filter(name__iexact=data.get("name", ""), bottler=self.instance.bottler)
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", "There is already a product of that name by this bottler.")
        return data
