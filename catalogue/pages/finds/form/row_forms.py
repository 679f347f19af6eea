"""Forms of the rows below a find: lettering elsewhere on the vessel, and years known from elsewhere."""

from typing import Any

from django import forms

from catalogue.common.forms.composite import RowForm, row_set
from catalogue.common.forms.fields import YearsField
from catalogue.specimens.models import Inscription, KnownYears


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


def lettering_initial(inscription: Inscription) -> dict[str, Any]:
    """What the form shows for stored lettering."""
    return {name: getattr(inscription, name) for name in LetteringForm.Meta.fields}


Letterings = row_set(LetteringForm)


class KnownForm(RowForm):
    """Not before, not after: said by whom."""

    asks = ("what", "from_year", "to_year", "edtf", "source")
    told = ("what",)
    usual = ("certainty",)

    edtf = YearsField(
        label="Or the years as written",
        required=False,
        max_length=60,
        help_text="1937, about 1930, the 1930s, 1926 to 1931, or one of several: [1926,1936].",
    )

    class Meta:
        model = KnownYears
        fields = ("what", "from_year", "to_year", "edtf", "certainty", "source")
        labels = {"what": "What is known", "certainty": "How sure"}
        help_texts = {
            "what": "Bottler listed in a directory, name changed, works closed.",
            "source": "Where you have it from.",
        }
        widgets = {
            name: forms.NumberInput(attrs={"inputmode": "numeric"}) for name in ("from_year", "to_year")
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("edtf") and (data.get("from_year") or data.get("to_year")):
            self.add_error("edtf", "Give the years in one way: not before and not after, or as written here.")
        return data


def known_initial(known: KnownYears) -> dict[str, Any]:
    """What the form shows for stored years."""
    return {name: getattr(known, name) for name in KnownForm.Meta.fields}


Knowns = row_set(KnownForm)
