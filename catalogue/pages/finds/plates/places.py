"""A place in a picture as a person types it, or as the page writes it when the picture is tapped."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

_TWO = re.compile(r"\s*(\d{1,3}(?:\.\d{1,6})?)\s*[,; ]\s*(\d{1,3}(?:\.\d{1,6})?)\s*")
HOW = "Give two numbers from 0 to 100: per cent from the left, then from the top, such as 41.5, 20."


class PlaceField(forms.CharField):
    """Gives (per cent from the left, per cent from the top), or None where nothing was typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        kwargs.setdefault("max_length", 30)
        kwargs.setdefault(
            "widget",
            forms.TextInput(attrs={"autocomplete": "off", "placeholder": "left, top", "data-place": ""}),
        )
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        found = _TWO.fullmatch(text)
        if found is None:
            raise ValidationError(HOW)
        place = float(found[1]), float(found[2])
        if max(place) > 100:
            raise ValidationError(HOW)
        return place

    def prepare_value(self, value: Any) -> Any:
        return f"{value[0]:.2f}, {value[1]:.2f}" if isinstance(value, tuple) else value
