"""Forms of giving away."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from catalogue.common.forms import CertainDateInput, HouseForm
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future, says_no_name
from catalogue.giving.models import REQUEST_MESSAGE_LENGTH
from catalogue.giving.rules import GONE_UNGIVEN, why_not_until
from catalogue.people.forms import NameInput
from catalogue.specimens.models import Specimen


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
        if until and on and (why := why_not_until(on, until)):
            raise ValidationError(why)
        return until


class HandOverForm(ToWhomForm):
    """Also says that the cautions were told."""

    story = forms.CharField(
        label="Its story, for the slip",
        max_length=Specimen._meta.get_field("story").max_length,
        required=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="Drafted from what is on record: change it, or empty it. It is saved as the piece’s story.",
    )
    told = forms.BooleanField(
        label="The cautions on the slip were given along: not fit to drink from, sharp edges.",
        error_messages={"required": "Give the cautions along, then tick this."},
    )
    field_order = ("person", "on", "note", "story", "told")

    def __init__(self, *args: Any, has_story: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # A story that its owner wrote is changed on the page of the piece.
        if has_story:
            del self.fields["story"]


class RequestForm(HouseForm):
    """A visitor asks for a piece."""

    name = forms.CharField(
        label="Your name", max_length=NAME_LENGTH, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    reach = forms.CharField(
        label="How to reach you",
        max_length=500,
        help_text="Telephone, mail or where you live. Only the owner reads it.",
    )
    message = forms.CharField(
        label="Message",
        max_length=REQUEST_MESSAGE_LENGTH,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean_name(self) -> str:
        return _not_blank(self.cleaned_data["name"], "Write your name.")

    def clean_reach(self) -> str:
        return _not_blank(self.cleaned_data["reach"], "Write how the owner can reach you.")


def _not_blank(text: str, otherwise: str) -> str:
    """What was typed; signs that show nothing are none."""
    if says_no_name(text):
        raise forms.ValidationError(otherwise)
    return text


class DepartureForm(HouseForm):
    """What became of a piece, when, and why."""

    standing = forms.ChoiceField(
        label="What happened",
        widget=forms.RadioSelect,
        choices=[(each.value, each.label) for each in GONE_UNGIVEN],
    )
    on = forms.DateField(label="On", widget=CertainDateInput(), validators=[not_in_future])
    reason = forms.CharField(
        label="Why, or how", max_length=500, help_text="Such as: fell off the bench; the receiver has it."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = timezone.localdate


class BackForm(HouseForm):
    on = forms.DateField(
        label="Came back on", widget=CertainDateInput(), validators=[not_in_future], required=False
    )
