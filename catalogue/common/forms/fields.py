"""Fields for what people here type, and a form's fields as what they are."""

import re
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import Field, Model
from django.utils import timezone

from catalogue.common.limits import EARLIEST_YEAR, or_the_clock
from catalogue.common.localisation import said, unit_shown, units_shown
from catalogue.common.positions import Angle, PositionError, in_minutes, read_angle
from catalogue.common.quantities import Quantity, QuantityError, in_words, read_quantity
from dating import edtf

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


_DECADE = re.compile(r"^(?:the\s+)?(\d{3})0'?s$")
_ABOUT = re.compile(r"^(?:about|around|circa|ca\.?|c\.?)\s*(\d{4})$")
_SPAN = re.compile(r"^(\d{4})\s*(?:-|–|to)\s*(\d{4})$")


def as_edtf(text: str) -> str:
    """ "about 1995" as 1995~, "the 1990s" as 199X, "1990 to 1995" as 1990/1995; anything else as typed."""
    typed = " ".join(text.lower().split())
    if found := _DECADE.match(typed):
        return f"{found[1]}X"
    if found := _ABOUT.match(typed):
        return f"{found[1]}~"
    if found := _SPAN.match(typed):
        return f"{found[1]}/{found[2]}"
    return text.strip()


def why_not_years(read: edtf.Years) -> str:
    """Why no bottle is of these years, as a sentence; empty where one may be."""
    this_year = timezone.localdate().year
    if read.earliest is not None and read.earliest > this_year:
        return f"That is in the future. Check the year{or_the_clock()}."
    if (read.latest or read.earliest or this_year) < EARLIEST_YEAR:
        return f"That is before {EARLIEST_YEAR}. Check the year."
    return ""


class YearsField(forms.CharField):
    """Years of the past as people or EDTF write them; gives EDTF. Anything finer is refused with why."""

    way = "Write a year, about 1930, the 1930s, or 1926 to 1931."

    def clean(self, value: str) -> str:
        written = as_edtf(super().clean(value) or "")
        if not written:
            return ""
        try:
            read = edtf.parse(written)
        except edtf.EdtfError as error:
            raise forms.ValidationError(f"That is not a date that can be read: {error}. {self.way}") from None
        if why := why_not_years(read):
            raise forms.ValidationError(why)
        return written


class RecoveredField(YearsField):
    """When it came up."""

    way = "Write a year, about 1995, the 1990s, or 1990 to 1995."


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


def choice_field(form: forms.BaseForm, name: str) -> forms.ChoiceField:
    """The field of that name, whose choices are to be set."""
    return cast(forms.ChoiceField, form.fields[name])


def row_field(form: forms.BaseForm, name: str) -> "forms.ModelChoiceField[Any]":
    """The field of that name, whose rows are to be set."""
    return cast("forms.ModelChoiceField[Any]", form.fields[name])
