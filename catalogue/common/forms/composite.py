"""Composite form: several forms and sets of rows bound together, validated together and saved as one."""

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, cast

from django import forms
from django.db.models import Model
from django.forms import BaseFormSet
from django.forms.utils import ErrorDict, ErrorList
from django.http import QueryDict

from .base import ModelFormBase, WritingForm

MOST_ROWS = 20


class MaybeBlank(WritingForm, forms.BaseForm):
    """One row of several. `asks` names the fields of which at least one makes it a row at all."""

    use_required_attribute = False
    asks: tuple[str, ...] = ()

    @property
    def is_blank(self) -> bool:
        """Nothing was entered in it."""
        entered = (self[name].data for name in self.asks)
        return not any(str(value).strip() for value in entered if value not in (None, False))


class RowForm(MaybeBlank, ModelFormBase):
    """One row of a model's. A blank one has no errors."""

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

    def full_clean(self) -> None:
        super().full_clean()
        # One emptied here that another page wrote into is told like any other.
        if self.is_bound and self.is_blank and not self.told_meanwhile:
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
    default_error_messages: ClassVar = {
        "too_many_forms": "More than %(num)d can't be kept here: take out the rest.",
    }

    def rows(self, *, only_sound: bool = False) -> list[Any]:
        """Rows that were entered and not taken out; with `only_sound` those with an error are left out."""
        return [form.row() for form in self.entered() if not (only_sound and form.errors)]

    def entered(self) -> list[Any]:
        """The forms behind `rows`."""
        gone = []
        if self.can_delete:
            sound = self.is_valid()
            gone = self.deleted_forms if sound else [f for f in self.forms if self._should_delete_form(f)]
        return [form for form in self.forms if form not in gone and not form.is_blank]


Rows = TypeVar("Rows", bound=RowSet)


def row_set(
    form: type[MaybeBlank],
    formset: type[Rows],
    *,
    ready: int = 1,
    most: int = MOST_ROWS,
    absolute: int = 40,
    can_delete: bool = True,
) -> type[Rows]:
    """A set of such rows. `ready`: how many empty ones stand there; more than `most` are said to be too many,
    those past `absolute` are not even read."""
    made = forms.formset_factory(
        form,
        formset=formset,
        extra=ready,
        max_num=most,
        validate_max=True,
        absolute_max=absolute,
        can_delete=can_delete,
    )
    return cast("type[Rows]", made)


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
