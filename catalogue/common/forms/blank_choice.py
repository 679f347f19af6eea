"""The first line of a choice, where nothing is chosen yet, in words."""

from collections.abc import Iterable
from typing import Final

from django import forms
from django.db.models.fields import BLANK_CHOICE_DASH
from django.utils.choices import BlankChoiceIterator

from catalogue.common.words import GAP_WORDS

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
