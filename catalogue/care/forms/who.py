"""The field that asks who did something at the bench: a name, taken from the address book or added to it."""

from django import forms

from catalogue.common.limits import NAME_LENGTH
from catalogue.people.name_input import NameInput


def who_field(label: str) -> forms.CharField:
    """Empty stands for oneself."""
    return forms.CharField(
        label=label,
        max_length=NAME_LENGTH,
        required=False,
        widget=NameInput,
        help_text="Leave empty for yourself.",
    )
