"""A size, mass, capacity or depth typed in any usual unit; shown with its unit, as the setting says."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from catalogue.common.quantities import Quantity, QuantityError, Units, in_words, read_quantity


class QuantityField(forms.CharField):
    """Gives a Decimal of one place in the stored unit. `units` is set by the form, from the setting."""

    def __init__(self, quantity: Quantity, **kwargs: Any) -> None:
        self.quantity = quantity
        self.units = Units.METRIC
        kwargs.setdefault("required", False)
        super().__init__(**kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        # No key of figures: quotation marks, fractions and units are typed as well.
        return super().widget_attrs(widget) | {"autocomplete": "off", "spellcheck": "false"}

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal | int | float):
            return in_words(value, self.quantity, self.units)
        return value

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        try:
            return read_quantity(text, self.quantity, self.units)
        except QuantityError as error:
            raise ValidationError(str(error)) from error

    def has_changed(self, initial: Any, data: Any) -> bool:
        """The same quantity in other words is no change."""
        try:
            typed = self.to_python(data)
        except ValidationError:
            return True
        return bool(typed != (None if initial in (None, "") else Decimal(str(initial))))
