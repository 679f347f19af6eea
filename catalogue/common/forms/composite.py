"""Composite form: several forms and formsets bound together, validated together and saved as one."""

from abc import ABC, abstractmethod
from typing import Any

from django.forms import BaseFormSet
from django.forms.utils import ErrorDict, ErrorList
from django.http import QueryDict

from .base import WritingForm


class CompositeForm(WritingForm, ABC):
    """One form of many parts. Derive, bind the parts in `__init__`, and name them in `parts`."""

    data: Any

    @property
    @abstractmethod
    def parts(self) -> list[Any]:
        """Every form and formset that was sent, in the order of the page."""

    def is_valid(self) -> bool:
        """Each part by itself, every one of them so that all complaints show at once; then all together."""
        sound = [part.is_valid() for part in self.parts]
        return all(sound) and self.agrees()

    def agrees(self) -> bool:
        """Whether parts that are sound by themselves fit each other; adds the errors where they don't."""
        return True

    def forget_errors(self) -> None:
        """Show what was typed without complaints: nothing was sent for saving."""
        for part in self.parts:
            rows = isinstance(part, BaseFormSet)
            for form in part.forms if rows else [part]:
                form._errors, form.cleaned_data = ErrorDict(), {}
            if rows:
                part._errors, part._non_form_errors = [{} for _ in part.forms], ErrorList()


def with_one_more(data: QueryDict, prefix: str, *, most: int = 20) -> QueryDict:
    """The data with one more empty row in the formset of that prefix, up to `most` rows."""
    more = data.copy()
    key = f"{prefix}-TOTAL_FORMS"
    typed = more.get(key, "0")
    count = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 0
    more[key] = str(min(count + 1, most))
    more.setdefault(f"{prefix}-INITIAL_FORMS", "0")
    return more


def with_management(data: QueryDict | None, prefix: str) -> QueryDict | None:
    """The data with the count of rows filled in where it is missing: a form cut short is no error."""
    if data is None or f"{prefix}-TOTAL_FORMS" in data:
        return data
    filled = data.copy()
    filled[f"{prefix}-TOTAL_FORMS"] = "0"
    filled[f"{prefix}-INITIAL_FORMS"] = "0"
    return filled
