"""A condition report: short with rows of damage, or one part of the piece after the other."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from catalogue.care.grading import grade_of
from catalogue.care.models import ConditionReport, Damage
from catalogue.common.forms import CertainDateInput, HouseForm, HouseModelForm
from catalogue.common.forms.composite import MOST_ROWS, CompositeForm, RowForm, RowSet, row_set
from catalogue.common.limits import NOTE_LENGTH, not_in_future
from catalogue.people.forms import who_field
from catalogue.specimens.models import Specimen

DAMAGE_ROWS = 3


class ConditionForm(HouseModelForm):
    """The report itself; who looked is a name, taken from the address book or added to it."""

    by_name = who_field("Who looked")

    class Meta:
        model = ConditionReport
        fields = ("on", "grade", "note")
        widgets = {"on": CertainDateInput(), "note": forms.Textarea(attrs={"rows": 2})}

    field_order = ("on", "grade", "by_name", "note")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "condition-%s")
        super().__init__(*args, **kwargs)
        self.initial.setdefault("by_name", str(self.instance.by or ""))
        if self.instance.pk is None:
            self.initial.setdefault("on", timezone.localdate())


class DamageForm(RowForm):
    """One row. Left without a kind it counts as not filled in, unless a note was typed."""

    asks = ("kind", "note")
    usual = ("extent", "part")

    kind = forms.ChoiceField(
        label="What", choices=[("", "nothing to note"), *Damage.Kind.choices], required=False
    )

    class Meta:
        model = Damage
        fields = ("kind", "extent", "part", "note")

    def __init__(self, *args: Any, correcting: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.correcting = correcting

    @property
    def shows_record(self) -> bool:
        """An empty row of a report on record as well: another page may have filled it."""
        return self.correcting

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("kind") and data.get("note"):
            self.add_error("kind", "Say what it is, or clear the note.")
        return data

    def _post_clean(self) -> None:
        # A row without a kind is no row: the model's own checks are for the others.
        if self.cleaned_data.get("kind"):
            super()._post_clean()


class DamageForms(RowSet):
    """The rows of a report."""

    def clean(self) -> None:
        if any(self.errors):
            return
        seen = [(row.kind, row.part) for row in self.rows()]
        if len(seen) != len(set(seen)):
            raise ValidationError("The same damage on the same part stands there twice.")


DamageSet = row_set(DamageForm, DamageForms, ready=DAMAGE_ROWS, absolute=MOST_ROWS, can_delete=False)
# A report by parts may hold one of each kind on each part.
CorrectedSet = row_set(DamageForm, DamageForms, ready=2, most=100, absolute=120, can_delete=False)


class ConditionSheet(CompositeForm):
    """A report with its rows of damage, a new one or `report` put right. Bound where `data` is given."""

    def __init__(
        self, data: Any = None, *, find: Specimen | None = None, report: ConditionReport | None = None
    ) -> None:
        self.data = data
        self.form = ConditionForm(data, instance=report)
        if find is not None:
            self.form.instance.find = find
        self.report = report
        self.damages = self._rows(data)
        self.rows_lost = data is not None and not self.damages.management_form.is_valid()
        if self.rows_lost:
            # The count of rows was lost on the way: fresh rows, or the page could never be sent again.
            self.form.add_error(None, "The rows of damage could not be read. Fill them in again and save.")
            self.damages = self._rows(None)

    def _rows(self, data: Any) -> DamageForms:
        if self.report is None:
            return DamageSet(data, prefix="damage")
        rows = [
            {name: getattr(row, name) for name in DamageForm.Meta.fields} for row in self.report.damages.all()
        ]
        correcting = {"correcting": True}
        return CorrectedSet(data, prefix="damage", initial=rows, form_kwargs=correcting)

    @property
    def parts(self) -> list[Any]:
        return [self.form] if self.rows_lost else [self.form, self.damages]


K = Damage.Kind
DAMAGE_ANYWHERE = (
    K.CHIP,
    K.CRACK,
    K.FLASH,
    K.SCRATCH,
    K.HAZE,
    K.STAIN,
    K.SULPHIDE,
    K.IRIDESCENT,
    K.FLAKING,
    K.GROWTH,
    K.REPAIR,
    K.MISSING,
)
DAMAGE_BY_PART: dict[str, tuple[str, ...]] = {
    Damage.Part.LIP: (*DAMAGE_ANYWHERE, K.RUST),
    Damage.Part.NECK: (*DAMAGE_ANYWHERE, K.RUST),
    Damage.Part.SHOULDER: (*DAMAGE_ANYWHERE, K.LABEL),
    Damage.Part.BODY: (*DAMAGE_ANYWHERE, K.LABEL),
    Damage.Part.BASE: DAMAGE_ANYWHERE,
    Damage.Part.INSIDE: (K.STAIN, K.HAZE, K.SULPHIDE, K.IRIDESCENT, K.FLAKING, K.GROWTH, K.OTHER),
    Damage.Part.WHOLE: (K.WEEPING, K.CRIZZLING, K.GROWTH, K.OTHER),
}
# Asked first and of the piece as a whole, wherever an earlier report noted it: a report that begins as the
# last one was must not clear it by having no field for it.
CONTENTS = (K.SEALED, K.MUNITION, K.REMAINS)


@dataclass(slots=True)
class PartFields:
    """The fields of one part, and whether something is noted there."""

    label: str
    fields: list[forms.BoundField]
    open: bool


def _extent_field(kind: str, initial: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=K(kind).label.capitalize(),
        choices=[("", "none"), *Damage.Extent.choices],
        required=False,
        initial=initial,
    )


class PartsForm(HouseForm):
    """One select for each kind of damage in each part; nothing chosen is nothing seen."""

    on = forms.DateField(label="On", widget=CertainDateInput(), validators=[not_in_future])
    by_name = who_field("Who looked")
    grade = forms.ChoiceField(
        label="Grade",
        choices=[("", "by the rule below"), *ConditionReport.Grade.choices],
        required=False,
    )
    note = forms.CharField(
        label="Note", max_length=NOTE_LENGTH, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(
        self, *args: Any, before: Mapping[tuple[str, str], str] | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        seen = before or {}
        for content in CONTENTS:
            inside = next((extent for (_, each), extent in seen.items() if each == content), "")
            self.fields[f"{Damage.Part.WHOLE}-{content}"] = _extent_field(content, inside)
        for part, kinds in DAMAGE_BY_PART.items():
            for kind in kinds:
                self.fields[f"{part}-{kind}"] = _extent_field(kind, seen.get((part, kind), ""))

    def parts(self) -> list[PartFields]:
        """For the template: the parts in order, open where something is noted."""
        inside = [self[f"{Damage.Part.WHOLE}-{kind}"] for kind in CONTENTS]
        listed = [PartFields("What is in it", inside, True)]
        for part, kinds in DAMAGE_BY_PART.items():
            fields = [self[f"{part}-{kind}"] for kind in kinds]
            listed.append(
                PartFields(
                    Damage.Part(part).label.capitalize(), fields, any(field.value() for field in fields)
                )
            )
        return listed

    def damages(self) -> list[Damage]:
        """What was seen, as rows to save."""
        return [
            Damage(kind=kind, extent=self.cleaned_data[f"{part}-{kind}"], part=part)
            for part, kinds in (*DAMAGE_BY_PART.items(), (Damage.Part.WHOLE, CONTENTS))
            for kind in kinds
            if self.cleaned_data.get(f"{part}-{kind}")
        ]

    def grade_given(self) -> str:
        """The one chosen, else the one the rule gives."""
        damages = [(damage.kind, damage.extent) for damage in self.damages()]
        return self.cleaned_data["grade"] or grade_of(damages)[0]
