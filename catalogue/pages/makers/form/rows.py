"""Rows under a maker."""

from typing import TYPE_CHECKING, Any

from django import forms

if TYPE_CHECKING:
    # Django takes the kinds of row in square brackets only from a type checker.
    InlineRows = forms.BaseInlineFormSet[Any, Any, Any]
else:
    InlineRows = forms.BaseInlineFormSet


class Rows(InlineRows):
    """Rows that must still be there, and must be this maker's, when they are sent back."""

    def clean(self) -> None:
        super().clean()
        if any(form.instance.pk is None for form in self.initial_forms):
            raise forms.ValidationError(
                "A row of this form is not there any more; it may have been taken out in another window. "
                "Open the maker's page again to see what is stored."
            )
