"""A soak begun and measured."""

from typing import Any

from django import forms

from catalogue.care.models import Soak, SoakReading
from catalogue.common.forms import HouseModelForm

from .treatment import WhenInput


class SoakForm(HouseModelForm):
    """The water, and the rule by which it is ready."""

    class Meta:
        model = Soak
        fields = (
            "name",
            "vessel",
            "unit",
            "tap",
            "change_every_days",
            "rule_last",
            "rule_within_pct",
            "rule_near_tap_pct",
            "note",
        )
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}
        help_texts = {
            "tap": "Measure the fresh water once: the soak is done when it reads nearly the same.",
            "change_every_days": "Our suggestion: daily at first, weekly later.",
        }


class ReadingForm(HouseModelForm):
    """A reading before the water is changed, a change, or both."""

    class Meta:
        model = SoakReading
        fields = ("value", "changed_water", "at", "note")
        widgets = {"at": WhenInput()}
        labels = {"value": "Reading, before changing the water", "at": "When, if not now"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"].required = False
        self.fields["at"].initial = None
        self.fields["value"].widget.attrs.update(inputmode="decimal", autocomplete="off")

    def clean_at(self) -> Any:
        from django.utils import timezone

        at = self.cleaned_data["at"] or timezone.now()
        if at > timezone.now() + timezone.timedelta(minutes=2) or at.year < 1900:
            raise forms.ValidationError("Give a time that has been; check the day.")
        return at

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("value") is None and not data.get("changed_water") and "value" not in self.errors:
            self.add_error("value", "Type a reading, or say that the water was changed.")
        return data
