"""One's own vessels and tools."""

from typing import Any

from django import forms
from django.db import transaction

from catalogue.care.chemistry import BIGGEST_VESSEL_ML
from catalogue.care.models import Tool, Vessel, VesselMark
from catalogue.common.forms import HouseModelForm
from catalogue.common.forms.fields import choice_field, quantity_of
from catalogue.common.quantities import LENGTH

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
VESSEL_LENGTHS = ("top_length_mm", "bottom_length_mm")
VESSEL_MEASURES = (*VESSEL_LENGTHS, "top_mm", "bottom_mm", "height_mm")


class VesselForm(HouseModelForm):
    """Measures of the inside, and its rings as a list of ml."""

    rings = forms.CharField(
        label="Rings or marks, ml up to each",
        max_length=200,
        required=False,
        help_text="From the lowest: 5000, 10000, 15000. A jug tells; leave empty where it has none.",
    )

    top_length_mm = quantity_of(Vessel, "top_length_mm", LENGTH, "Inside length at the top")
    top_mm = quantity_of(Vessel, "top_mm", LENGTH, "Inside width at the top")
    bottom_length_mm = quantity_of(Vessel, "bottom_length_mm", LENGTH, "Inside length at the bottom")
    bottom_mm = quantity_of(Vessel, "bottom_mm", LENGTH, "Inside width at the bottom")
    height_mm = quantity_of(Vessel, "height_mm", LENGTH, "Inside height")

    class Meta:
        model = Vessel
        fields = ("name", "material", "outline", *VESSEL_LENGTHS, "top_mm", "bottom_mm", "height_mm", "notes")
        widgets = {"outline": forms.RadioSelect}
        help_texts = {"name": "White tub, builder's pail, storage box."}

    field_order = (
        "name",
        "material",
        "outline",
        "top_length_mm",
        "top_mm",
        "bottom_length_mm",
        "bottom_mm",
        "height_mm",
        "rings",
        "notes",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "outline").choices = Vessel.Outline.choices
        if self.instance.pk:
            self.initial["rings"] = ", ".join(str(mark.ml) for mark in self.instance.marks.all())

    def clean_rings(self) -> list[int]:
        words = self.cleaned_data["rings"].replace(";", ",").replace(" ml", "").split(",")
        words = [word.strip() for word in words if word.strip()]
        if not all(word.isdecimal() and word.isascii() and 0 < int(word) <= 500_000 for word in words):
            raise forms.ValidationError("Write whole numbers of ml with commas between: 5000, 10000, 15000.")
        if len(words) > len(ORDINALS):
            raise forms.ValidationError(f"At most {len(ORDINALS)} rings.")
        return sorted({int(word) for word in words})

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        box = data.get("outline") == Vessel.Outline.BOX
        for name in VESSEL_LENGTHS:
            if not box:
                # What was typed before "round" was chosen is no measure of this vessel.
                data[name] = None
                self.errors.pop(name, None)
            elif data.get(name) is None and name not in self.errors:
                self.add_error(name, "A rectangular one has a length too.")
        if not {"outline", *VESSEL_MEASURES} & set(self.errors):
            self._hold(data, Vessel(**{name: data[name] for name in ("outline", *VESSEL_MEASURES)}).volume_ml)
        return data

    def _hold(self, data: dict[str, Any], ml: float) -> None:
        """Whether that volume can be."""
        if ml > BIGGEST_VESSEL_ML:
            most = BIGGEST_VESSEL_ML / 1000
            self.add_error(
                "height_mm", f"It would hold {ml / 1000:,.0f} l, more than {most:g}: check the measures."
            )
        elif data.get("rings") and data["rings"][-1] > ml * 1.1:
            self.add_error("rings", f"By its measures it holds {ml / 1000:.1f} l: measure again.")

    def changed_columns(self) -> list[str]:
        # Lengths go when a rectangular one becomes round, although nobody touched their fields.
        return [*dict.fromkeys([*super().changed_columns(), *VESSEL_LENGTHS])] if self.changed_data else []

    @transaction.atomic
    def save(self, commit: bool = True) -> Vessel:
        vessel: Vessel = super().save(commit)
        if "rings" in self.changed_data:
            VesselMark.everything.filter(vessel=vessel).delete()
            VesselMark.objects.bulk_create(
                VesselMark(vessel=vessel, ml=ml, name=f"the {ORDINALS[place]} ring")
                for place, ml in enumerate(self.cleaned_data["rings"])
            )
        return vessel


class ToolForm(HouseModelForm):
    bore_from_mm = quantity_of(Tool, "bore_from_mm", LENGTH, "Narrowest neck it goes through")
    bore_to_mm = quantity_of(Tool, "bore_to_mm", LENGTH, "Widest neck it is of use in")

    class Meta:
        model = Tool
        fields = ("name", "softness", "rough", "where", "bore_from_mm", "bore_to_mm", "how")
        help_texts = {"rough": "Rough ones are not offered on fired, painted or gilt glass."}
