"""Lettering elsewhere on the vessel."""

from typing import Any

from django import forms

from catalogue.common.forms.rows import RowForm, row_set
from catalogue.specimens.models import Inscription


class LetteringForm(RowForm):
    """Text as read, with where it is and how it was made."""

    asks = ("text",)
    told = ("text",)
    usual = ("where", "how", "says")

    class Meta:
        model = Inscription
        fields = ("text", "where", "how", "says")
        labels = {"says": "What it gives"}
        help_texts = {"text": "/ starts a new line, [..] is unread, ? is doubtful."}
        widgets = {
            "text": forms.TextInput(
                attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
            )
        }


def initial_of(inscription: Inscription) -> dict[str, Any]:
    """What the form shows for stored lettering."""
    return {name: getattr(inscription, name) for name in LetteringForm.Meta.fields}


Letterings = row_set(LetteringForm)
