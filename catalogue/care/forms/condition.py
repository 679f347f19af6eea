"""A look at a find: its grade, and a row for each kind of damage or growth."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BaseFormSet, formset_factory
from django.utils import timezone

from catalogue.care.models import ConditionReport, Damage
from catalogue.common.forms import CertainDateInput, HouseModelForm
from catalogue.common.limits import NAME_LENGTH

DAMAGE_ROWS = 3


class ConditionForm(HouseModelForm):
    """The report itself; who looked is a name, taken from the address book or added to it."""

    by_name = forms.CharField(
        label="Who looked", max_length=NAME_LENGTH, required=False, help_text="Leave empty for yourself."
    )

    class Meta:
        model = ConditionReport
        fields = ("on", "grade", "note")
        widgets = {"on": CertainDateInput(), "note": forms.Textarea(attrs={"rows": 2})}

    field_order = ("on", "grade", "by_name", "note")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "condition-%s")
        super().__init__(*args, **kwargs)
        if self.instance.pk is None:
            self.initial.setdefault("on", timezone.localdate())


class DamageForm(forms.ModelForm):
    """One row. Left without a kind it counts as not filled in, unless a note was typed."""

    kind = forms.ChoiceField(
        label="What", choices=[("", "nothing to note"), *Damage.Kind.choices], required=False
    )

    class Meta:
        model = Damage
        fields = ("kind", "extent", "part", "note")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("extent", "part"):
            self.fields[name].required = False

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name in ("extent", "part"):
            data[name] = data.get(name) or self.fields[name].initial
        if not data.get("kind") and data.get("note"):
            self.add_error("kind", "Say what it is, or clear the note.")
        return data

    def _post_clean(self) -> None:
        # A row without a kind is no row: the model's own checks are for the others.
        if self.cleaned_data.get("kind"):
            super()._post_clean()


class DamageForms(BaseFormSet):
    """The rows; `damages()` gives those filled in."""

    def damages(self) -> list[Damage]:
        return [form.instance for form in self.forms if form.cleaned_data.get("kind")]

    def clean(self) -> None:
        if any(self.errors):
            return
        seen = [(row.kind, row.part) for row in self.damages()]
        if len(seen) != len(set(seen)):
            raise ValidationError("The same damage on the same part stands there twice.")


def damage_forms(data: Any = None) -> DamageForms:
    """The rows of a report, empty or as typed."""
    made = formset_factory(DamageForm, formset=DamageForms, extra=DAMAGE_ROWS, max_num=20, absolute_max=20)
    return made(data, prefix="damage")
