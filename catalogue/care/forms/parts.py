"""A condition report by the parts of the vessel, each with its own list of what can be seen there."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from catalogue.care.grading import grade_of
from catalogue.care.models import ConditionReport, Damage
from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import CertainDateInput
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future

K = Damage.Kind
EVERYWHERE = (
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
PARTS: dict[str, tuple[str, ...]] = {
    Damage.Part.LIP: (*EVERYWHERE, K.RUST),
    Damage.Part.NECK: (*EVERYWHERE, K.RUST),
    Damage.Part.SHOULDER: (*EVERYWHERE, K.LABEL),
    Damage.Part.BODY: (*EVERYWHERE, K.LABEL),
    Damage.Part.BASE: EVERYWHERE,
    Damage.Part.INSIDE: (K.STAIN, K.HAZE, K.SULPHIDE, K.IRIDESCENT, K.FLAKING, K.GROWTH, K.OTHER),
    Damage.Part.WHOLE: (K.WEEPING, K.CRIZZLING, K.SEALED, K.GROWTH, K.OTHER),
}


@dataclass(slots=True)
class PartFields:
    """The fields of one part, and whether something is noted there."""

    label: str
    fields: list[forms.BoundField]
    open: bool


class PartsForm(HouseForm):
    """One select for each kind of damage in each part; nothing chosen is nothing seen."""

    on = forms.DateField(label="On", widget=CertainDateInput(), validators=[not_in_future])
    by_name = forms.CharField(
        label="Who looked", max_length=NAME_LENGTH, required=False, help_text="Leave empty for yourself."
    )
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
        for part, kinds in PARTS.items():
            for kind in kinds:
                self.fields[f"{part}-{kind}"] = forms.ChoiceField(
                    label=K(kind).label.capitalize(),
                    choices=[("", "none"), *Damage.Extent.choices],
                    required=False,
                    initial=(before or {}).get((part, kind), ""),
                )

    def parts(self) -> list[PartFields]:
        """For the template: the parts in order, open where something is noted."""
        listed = []
        for part, kinds in PARTS.items():
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
            for part, kinds in PARTS.items()
            for kind in kinds
            if self.cleaned_data.get(f"{part}-{kind}")
        ]

    def grade_given(self) -> str:
        """The one chosen, else the one the rule gives."""
        damages = [(damage.kind, damage.extent) for damage in self.damages()]
        return self.cleaned_data["grade"] or grade_of(damages)[0]
