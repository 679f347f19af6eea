"""The form of a person."""

from django import forms

from catalogue.common.forms import HouseModelForm

from .models import Person


class PersonForm(HouseModelForm):
    class Meta:
        model = Person
        fields = ("name", "reach", "notes")
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}
