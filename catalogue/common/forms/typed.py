"""Fields of a form as what they are: a form's own mapping knows them only as fields."""

from typing import Any, cast

from django import forms


def choice_field(form: forms.BaseForm, name: str) -> forms.ChoiceField:
    """The field of that name, whose choices are to be set."""
    return cast(forms.ChoiceField, form.fields[name])


def row_field(form: forms.BaseForm, name: str) -> "forms.ModelChoiceField[Any]":
    """The field of that name, whose rows are to be set."""
    return cast("forms.ModelChoiceField[Any]", form.fields[name])
