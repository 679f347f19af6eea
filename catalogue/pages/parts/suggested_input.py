"""A text box whose browser list is filled from what is already in the catalogue."""

from typing import Any

from django import forms

# Listed towns are told with their distance from the dive or site that the form names.
WHERE_IT_LAY = {"hx-include": "[name=pick]:checked, [name=loose_site]", "hx-params": "town,pick,loose_site"}


def suggested(kind: str, **attrs: Any) -> forms.TextInput:
    """The box of a field of that name (one of `SUGGESTED_KINDS`); its page has the list `<kind>-known`."""
    return forms.TextInput(
        attrs={
            "list": f"{kind}-known",
            "autocomplete": "off",
            "hx-get": f"/finds/suggest/{kind}/",
            "hx-trigger": "input changed delay:250ms",
            "hx-target": f"#{kind}-known",
            "hx-sync": "this:replace",
            "hx-params": kind,
            **(WHERE_IT_LAY if kind == "town" else {}),
            **attrs,
        }
    )
