"""A size, mass, capacity or depth typed in any usual unit; shown with its unit, as the setting says."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import Field, Model

from catalogue.common.quantities import Quantity, QuantityError, in_words, read_quantity
from catalogue.common.shown_units import said, unit_shown, units_shown


class QuantityField(forms.CharField):
    """Gives a Decimal of one place in the stored unit, from `least` to `most` of it.

    `signed`: less than nothing can be meant, as of a distance from something.
    """

    def __init__(
        self,
        quantity: Quantity,
        *,
        least: float | None = None,
        most: float | None = None,
        signed: bool = False,
        **kwargs: Any,
    ) -> None:
        self.quantity, self.least, self.most, self.signed = quantity, least, most, signed
        kwargs.setdefault("required", False)
        super().__init__(**kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        # No key of figures: quotation marks, fractions and units are typed as well.
        return super().widget_attrs(widget) | {"autocomplete": "off", "spellcheck": "false"}

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> forms.BoundField:
        """With the unit that a bare number in the box has."""
        self.widget.attrs["placeholder"] = unit_shown(self.quantity)
        return super().get_bound_field(form, field_name)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal | int | float):
            words = in_words(abs(Decimal(str(value))), self.quantity, units_shown())
            return f"-{words}" if value < 0 else words
        return value

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        less = self.signed and text.startswith(("-", "−", "–"))
        try:
            size = read_quantity(text[1:] if less else text, self.quantity, units_shown())
        except QuantityError as error:
            raise ValidationError(str(error)) from error
        return -size if less else size

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if self.least is not None and value < Decimal(str(self.least)):
            # just above nothing is no bound that anybody would name
            words = "more than 0" if 0 < self.least < 1 else f"{self._say(self.least)} or more"
            raise ValidationError(f"This must be {words}.")
        if self.most is not None and value > Decimal(str(self.most)):
            raise ValidationError(f"This can't be more than {self._say(self.most)}.")

    def _say(self, bound: float) -> str:
        words = said(abs(bound), self.quantity)
        return f"-{words}" if bound < 0 else words

    def has_changed(self, initial: Any, data: Any) -> bool:
        """The same quantity in other words is no change."""
        try:
            typed = self.to_python(data)
        except ValidationError:
            return True
        return bool(typed != (None if initial in (None, "") else Decimal(str(initial))))


def quantity_of(
    model: type[Model], column: str, quantity: Quantity, label: str, **kwargs: Any
) -> QuantityField:
    """A field for a column, with the column's own bounds and whether it may be left empty."""
    field = model._meta.get_field(column)
    assert isinstance(field, Field)
    for check in field.validators:
        if isinstance(check, MaxValueValidator):
            kwargs["most"] = float(check.limit_value)
        elif isinstance(check, MinValueValidator):
            kwargs["least"] = float(check.limit_value)
    return QuantityField(quantity, label=label, required=not field.blank, **kwargs)
