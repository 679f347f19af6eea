"""Fields for what people here type."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from catalogue.common.positions import Angle, PositionError, in_minutes, read_angle

MAX_ANGLE_LENGTH = 60


class CertainDateInput(forms.DateInput):
    """The browser's own day picker; always ISO, whatever the language."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class AngleField(forms.CharField):
    """Latitude or longitude in any usual spelling; gives a Decimal of six places."""

    def __init__(self, axis: Angle, **kwargs: Any) -> None:
        self.axis = axis
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        return in_minutes(float(value), self.axis) if isinstance(value, Decimal | float) else value

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        if len(text) > MAX_ANGLE_LENGTH:
            raise ValidationError(f"This {self.axis.name} is too long to be one.")
        try:
            return Decimal(f"{read_angle(text, self.axis):.6f}")
        except PositionError as error:
            raise ValidationError(str(error)) from error

    def has_changed(self, initial: Any, data: Any) -> bool:
        """What is shown in minutes is a rounding: the same text means the position stays as stored."""
        return (self.prepare_value(initial) or "") != (data or "")


class NamesField(forms.CharField):
    """Names parted by commas; gives a list of str without repeats."""

    def to_python(self, value: Any) -> Any:
        names = [" ".join(name.split()) for name in (super().to_python(value) or "").split(",")]
        return list(dict.fromkeys(name for name in names if name))
