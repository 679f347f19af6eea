"""The name of a view."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseModelForm
from catalogue.specimens.models import SavedView

from .services import kept_part


class ViewForm(HouseModelForm):
    """A name for what is looked at now."""

    use_required_attribute = False

    class Meta:
        model = SavedView
        fields = ("name",)
        labels = {"name": "Name of this view"}
        help_texts = {"name": "Marrowby, still wet; beers of the thirties."}

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())


class NewViewForm(ViewForm):
    """With what stands in the address of the list."""

    query = forms.CharField(required=False, max_length=6000, widget=forms.HiddenInput)

    def clean_query(self) -> str:
        kept = kept_part(self.cleaned_data["query"])
        limit = SavedView._meta.get_field("query").max_length
        if len(kept) > limit:
            raise forms.ValidationError("Too much is chosen to be kept under one name. Choose less.")
        return kept

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self.instance.query = data.get("query", "")
        return data
