"""Years known from elsewhere."""

from typing import Any

from django import forms

from catalogue.specimens.models import KnownYears

from .rows import RowForm, row_set


class KnownForm(RowForm):
    """Not before, not after: said by whom."""

    asks = ("what", "from_year", "to_year", "source")
    told = ("what",)
    usual = ("certainty",)

    class Meta:
        model = KnownYears
        fields = ("what", "from_year", "to_year", "certainty", "source")
        labels = {"what": "What is known", "certainty": "How sure"}
        help_texts = {
            "what": "Bottler listed in a directory, name changed, works closed.",
            "source": "Where you have it from.",
        }
        widgets = {
            name: forms.NumberInput(attrs={"inputmode": "numeric"}) for name in ("from_year", "to_year")
        }


def initial_of(known: KnownYears) -> dict[str, Any]:
    """What the form shows for stored years."""
    return {name: getattr(known, name) for name in KnownForm.Meta.fields}


Knowns = row_set(KnownForm)
