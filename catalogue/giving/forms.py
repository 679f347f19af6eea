"""Forms of giving away."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from catalogue.common.forms import CertainDateInput, HouseForm
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future
from catalogue.people.name_input import NameInput


class ToWhomForm(HouseForm):
    """To whom, and when; the name is taken from the address book or added to it."""

    person = forms.CharField(label="To whom", max_length=NAME_LENGTH, widget=NameInput)
    on = forms.DateField(label="On", widget=CertainDateInput(), validators=[not_in_future])
    note = forms.CharField(
        label="Note", max_length=NOTE_LENGTH, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = timezone.localdate


class PromiseForm(ToWhomForm):
    until = forms.DateField(
        label="Until", required=False, widget=CertainDateInput(), help_text="Leave empty for no end."
    )
    field_order = ("person", "on", "until", "note")

    def clean_until(self) -> Any:
        until, on = self.cleaned_data["until"], self.cleaned_data.get("on")
        if until and until.year > 2100:
            raise ValidationError("Check the year.")
        if until and on and until < on:
            raise ValidationError("The promise would end before it begins.")
        return until


class HandOverForm(ToWhomForm):
    """Also says that the cautions were told."""

    told = forms.BooleanField(
        label="The cautions on the slip were given along: not fit to drink from, sharp edges.",
        error_messages={"required": "Give the cautions along, then tick this."},
    )
    field_order = ("person", "on", "note", "told")


class BackForm(HouseForm):
    on = forms.DateField(
        label="Came back on", widget=CertainDateInput(), validators=[not_in_future], required=False
    )
