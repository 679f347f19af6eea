"""One's own vessel."""

from typing import Any

from django import forms
from django.db import transaction

from catalogue.care.models import Vessel, VesselMark
from catalogue.common.forms import HouseModelForm

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


class VesselForm(HouseModelForm):
    """Measures of the inside, and its rings as a list of ml."""

    rings = forms.CharField(
        label="Rings or marks, ml up to each",
        max_length=200,
        required=False,
        help_text="From the lowest: 5000, 10000, 15000. A jug tells; leave empty where it has none.",
    )

    class Meta:
        model = Vessel
        fields = ("name", "material", "top_mm", "bottom_mm", "height_mm", "notes")
        help_texts = {"name": "White tub, builder's pail."}

    field_order = ("name", "material", "top_mm", "bottom_mm", "height_mm", "rings", "notes")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
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
        sizes = [data.get(name) for name in ("top_mm", "bottom_mm", "height_mm")]
        if all(sizes) and data.get("rings"):
            shape = Vessel(top_mm=sizes[0], bottom_mm=sizes[1], height_mm=sizes[2]).shape
            if data["rings"][-1] > shape.volume_ml * 1.1:
                self.add_error(
                    "rings",
                    f"By its measures it holds {shape.volume_ml / 1000:.1f} l: measure again.",
                )
        return data

    @transaction.atomic
    def save(self, commit: bool = True) -> Vessel:
        vessel = super().save(commit)
        if "rings" in self.changed_data:
            VesselMark.everything.filter(vessel=vessel).delete()
            VesselMark.objects.bulk_create(
                VesselMark(vessel=vessel, ml=ml, name=f"the {ORDINALS[place]} ring")
                for place, ml in enumerate(self.cleaned_data["rings"])
            )
        return vessel
