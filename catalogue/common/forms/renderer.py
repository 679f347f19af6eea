"""Form renderer: one set of field markup (Django's field groups) for every form; blank choices.

Templates say ``{{ form.name.as_field_group }}``; what that draws stands in ``templates/parts/field.html``.
A choice of which nothing is chosen begins with words.
"""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Final

from django import forms
from django.db.models.fields import BLANK_CHOICE_DASH
from django.forms import BaseForm, BoundField, Field, NumberInput
from django.forms.renderers import TemplatesSetting
from django.utils.choices import BlankChoiceIterator
from django.utils.safestring import SafeString

from catalogue.common.words import GAP_WORDS


class PlainNumberInput(NumberInput):
    """A number as people write it: 83, never 83.0."""

    def format_value(self, value: Any) -> str | None:
        if isinstance(value, Decimal | float) and value == int(value):
            value = int(value)
        elif isinstance(value, Decimal):
            value = value.normalize()
        shown: str | None = super().format_value(value)
        return shown


class HouseBoundField(BoundField):
    """A field of a form as templates meet it.

    What is too long is said by its field: with `maxlength` a browser would cut off without a word whatever
    is pasted beyond it.
    """

    def __init__(self, form: BaseForm, field: Field, name: str) -> None:
        if type(field.widget) is NumberInput:
            plain = PlainNumberInput(field.widget.attrs)
            plain.is_required, plain.is_localized = field.widget.is_required, field.widget.is_localized
            field.widget = plain
        field.widget.attrs.pop("maxlength", None)
        super().__init__(form, field, name)

    def as_wide_group(self) -> SafeString:
        """The field group over the whole width of its block."""
        return self.render(context={**self.get_context(), "wide": True})


class FieldGroupRenderer(TemplatesSetting):
    """Draws fields with the project's own template, found and cached like every other template."""

    field_template_name = "parts/field.html"
    bound_field_class = HouseBoundField


# Django's own first line, a row of dashes, says nothing to whoever hears it read.
_DASHES: Final = BLANK_CHOICE_DASH[0][1]
TO_CHOOSE: Final = "choose one"


def say_blank_choices(fields: Iterable[forms.Field]) -> None:
    """Put words in the place of the dashes: one is to be chosen, or none is on record. No query."""
    for field in fields:
        words = TO_CHOOSE if field.required else GAP_WORDS
        if isinstance(field, forms.ModelChoiceField):
            if field.empty_label == _DASHES:
                field.empty_label = words
        elif isinstance(field, forms.ChoiceField):
            # What is asked for anew each time begins as whoever wrote it has it.
            listed = list(field.choices) if isinstance(field.choices, (list, BlankChoiceIterator)) else []
            if listed and listed[0] == ("", _DASHES):
                field.choices = [("", words), *listed[1:]]
