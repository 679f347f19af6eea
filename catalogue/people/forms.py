"""Forms of people: one's own page, and the box in which others are named, as one types."""

from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.common.forms import HouseModelForm
from catalogue.common.limits import NAME_LENGTH

from .models import Person


class PersonForm(HouseModelForm):
    class Meta:
        model = Person
        fields = ("name", "reach", "notes")
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}


class NameInput(forms.TextInput):
    """A box for a name, or several with commas between: asks the address book by htmx.

    Without script it is a plain box. Only the owner gets an answer.
    """

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        names = f"{(attrs or {}).get('id') or name}-names"
        asks = {
            "list": names,
            "autocomplete": "off",
            "autocapitalize": "words",
            "hx-get": "/people/suggest/",
            "hx-trigger": "focus once, input changed delay:250ms",
            "hx-target": f"#{names}",
            "hx-sync": "this:replace",
            "hx-params": name,
        }
        box = super().render(name, value, {**(attrs or {}), **asks}, renderer)
        return format_html('{}<datalist id="{}"></datalist>', box, names)


def who_field(label: str) -> forms.CharField:
    """Who did something, from the address book or added to it; empty stands for oneself."""
    return forms.CharField(
        label=label,
        max_length=NAME_LENGTH,
        required=False,
        widget=NameInput,
        help_text="Leave empty for yourself.",
    )
