"""A text box for a person's name, or several with commas between: names of the address book as one types."""

from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString


class NameInput(forms.TextInput):
    """Asks the address book by htmx; without script it is a plain box. Only the owner gets an answer."""

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
