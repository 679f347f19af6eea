"""What Django's own checks say of a field, as a neighbour would say it."""

from typing import Any, Final

from django import forms
from django.core import validators
from django.core.exceptions import ValidationError
from django.db import models

from catalogue.common.limits import too_many_letters

_NONE_OF_THE_CHOICES = "“%(value)s” is none of the choices. Choose one of the list."
_NO_CHOICE_ANY_MORE = "That is not there to choose any more. Choose another."
# Django's own sentence, and ours. They are told apart by identity, so that what a field says by itself stays.
_PLAIN: Final[tuple[tuple[Any, str], ...]] = (
    (validators.MinValueValidator.message, "%(limit_value)s is the least that can stand here."),
    (validators.MaxValueValidator.message, "%(limit_value)s is the most that can stand here."),
    (validators.ProhibitNullCharactersValidator.message, "A sign that is no letter is in it. Type it anew."),
    (forms.ChoiceField.default_error_messages["invalid_choice"], _NONE_OF_THE_CHOICES),
    (forms.MultipleChoiceField.default_error_messages["invalid_choice"], _NONE_OF_THE_CHOICES),
    (models.Field.default_error_messages["invalid_choice"], _NONE_OF_THE_CHOICES),
    (forms.ModelChoiceField.default_error_messages["invalid_choice"], _NO_CHOICE_ANY_MORE),
    (forms.ModelMultipleChoiceField.default_error_messages["invalid_choice"], _NO_CHOICE_ANY_MORE),
)


def say_plainly(error: ValidationError) -> None:
    """Put our sentence in the place of each of Django's own, whatever the error is made of."""
    if hasattr(error, "error_dict"):
        listed = [one for errors in error.error_dict.values() for one in errors]
    else:
        listed = error.error_list
    for one in listed:
        if one.message is validators.MaxLengthValidator.message and (told := one.params):
            one.message = f"{too_many_letters(told['show_value'], told['limit_value'])}."
            continue
        one.message = next((plain for django, plain in _PLAIN if one.message is django), one.message)


class PlainErrors:
    """Mixin of a form: whatever its fields refuse is said in plain words."""

    def add_error(self, field: str | None, error: Any) -> None:
        """As Django's, which every check of a field and of a record passes."""
        if isinstance(error, ValidationError):
            say_plainly(error)
        form: Any = super()
        form.add_error(field, error)
