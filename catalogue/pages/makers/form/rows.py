"""Rows under a maker."""

from django import forms


class Rows(forms.BaseInlineFormSet):
    """Rows that must still be there, and must be this maker's, when they are sent back."""

    def clean(self) -> None:
        super().clean()
        if any(form.instance.pk is None for form in self.initial_forms):
            raise forms.ValidationError(
                "A row of this form is not there any more; it may have been taken out in another window. "
                "Open the maker's page again to see what is stored."
            )
