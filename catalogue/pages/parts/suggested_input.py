"""A text box whose browser list is filled from what is already in the catalogue."""

from typing import Any

from django import forms


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
            **attrs,
        }
    )
