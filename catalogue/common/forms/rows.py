"""Rows of which a find may have several: each form is one row, and an empty one is no row."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.db.models import Model
from django.forms.utils import ErrorDict

from .base import ModelFormBase, WritingForm

MOST_ROWS = 20


class RowForm(WritingForm, ModelFormBase):
    """One row. `asks` names the fields of which at least one makes it a row at all."""

    use_required_attribute = False
    asks: tuple[str, ...] = ()
    # What a closed section says of it.
    told: tuple[str, ...] = ()
    # Choices that start on a usual answer; they are not what makes a row, so no star stands by them.
    usual: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.usual:
            self.fields[name].required = False

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name in self.usual:
            if not data.get(name) and name not in self.errors:
                data[name] = self._meta.model._meta.get_field(name).get_default()
        return data

    @property
    def is_blank(self) -> bool:
        """Nothing was entered in it."""
        entered = (self[name].data for name in self.asks)
        return not any(str(value).strip() for value in entered if value not in (None, False))

    def full_clean(self) -> None:
        super().full_clean()
        if self.is_bound and self.is_blank:
            self._errors = ErrorDict()
            self.cleaned_data = {}

    def row(self) -> Model:
        """The row as typed, not saved."""
        row: Model = self.instance
        return row


if TYPE_CHECKING:

    class FormSetBase(forms.BaseFormSet[Any]):
        """Django's own set of forms, with what its published types leave out."""

        def _should_delete_form(self, form: forms.BaseForm) -> bool: ...
else:
    FormSetBase = forms.BaseFormSet


class RowSet(FormSetBase):
    """The rows of one kind."""

    deletion_widget = forms.CheckboxInput

    def rows(self, *, only_sound: bool = False) -> list[Any]:
        """Rows that were entered and not taken out; with `only_sound` those with an error are left out."""
        return [form.row() for form in self.entered() if not (only_sound and form.errors)]

    def entered(self) -> list[RowForm]:
        """The forms behind `rows`."""
        gone = (
            self.deleted_forms if self.is_valid() else [f for f in self.forms if self._should_delete_form(f)]
        )
        return [form for form in self.forms if form not in gone and not form.is_blank]


def row_set(form: type[RowForm], formset: type[RowSet] = RowSet) -> type[RowSet]:
    """A set of such rows; one empty row stands ready."""
    made = forms.formset_factory(
        form, formset=formset, extra=1, max_num=MOST_ROWS, validate_max=True, absolute_max=40, can_delete=True
    )
    assert issubclass(made, RowSet)
    return made
