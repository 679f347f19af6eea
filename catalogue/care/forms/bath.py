"""A bath planned, looked into, and ended; a soak begun and measured."""

from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils import timezone

from catalogue.care.chemistry import NEUTRALISERS, BadQuantity
from catalogue.care.forms.treatment import WhenInput
from catalogue.care.label_strength import read_strength
from catalogue.care.mixture import judge_parts
from catalogue.care.models import Bath, BathMember, Soak, SoakReading, Vessel
from catalogue.common.forms import HouseForm, HouseModelForm
from catalogue.common.forms.fields import QuantityField, row_field
from catalogue.common.limits import NOTE_LENGTH, a_few_words
from catalogue.common.quantities import MASS

NO_STRENGTH = "Without the strength on the label there is no plan. Write it as 31.45 % or 20 °Bé."


def time_that_was(typed: datetime | None, known: datetime | None = None) -> datetime:
    """The time typed, or what was known, or now. Raises ValidationError for one that can't have been.

    A browser's picker knows no seconds: the same minute as before is the time as it was.
    """
    if known and (typed is None or typed == known.replace(second=0, microsecond=0)):
        return known
    now = timezone.now()
    at = typed or now
    if at > now + timedelta(minutes=2) or at.year < 1900:
        raise forms.ValidationError("Give a time that has been; check the day.")
    return at


class BathForm(HouseModelForm):
    """Vessel, acid and parts. Without the strength on the label there is no plan.

    A strong mixture and one of more acid than water are asked about: those two fields are shown only then.
    """

    more_acid = forms.BooleanField(
        label="They are not swapped: more acid than water is meant", required=False
    )

    class Meta:
        model = Bath
        fields = (
            "vessel",
            "strength_label",
            "acid_parts",
            "water_parts",
            "fill_pct",
            "temperature_c",
            "strong_reason",
        )
        labels = {
            "strength_label": "Strength on the acid's label",
            "strong_reason": "Why it must be so strong",
        }
        help_texts = {
            "strength_label": "As it stands there: 31.45 % or 20 °Bé. Another strength makes another bath.",
            "acid_parts": "Common practice: 15 of acid to 85 of water.",
            "fill_pct": "Four fifths leave room for foam.",
            "temperature_c": "Cold, from the tap or the rain barrel.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        vessels = Vessel.objects.exclude(material=Vessel.Material.METAL)
        field = row_field(self, "vessel")
        field.queryset, field.empty_label = vessels, None
        self.fields["strength_label"].error_messages["required"] = NO_STRENGTH
        self.fields["strength_label"].widget.attrs.update(placeholder="31.45 %", autocomplete="off")
        if not self.instance.pk and not self.initial.get("vessel"):
            last = Bath.objects.order_by("-pk").first()
            if last:
                # The strength is read anew off each jug, and parts begin at the usual weak mixture.
                self.initial.update(vessel=last.vessel_id, fill_pct=last.fill_pct)

    @property
    def shown(self) -> list[BoundField]:
        """The fields of the page: what is asked only of some mixtures, only for such a one."""
        asked = {"more_acid", "strong_reason"} - set(self.errors if self.is_bound else ())
        kept = {name for name in asked if self[name].value()}
        return [field for field in self if field.name not in asked or field.name in kept]

    def clean_vessel(self) -> Vessel:
        vessel: Vessel = self.cleaned_data["vessel"]
        if why := vessel.why_no_acid():
            raise forms.ValidationError(why)
        return vessel

    def clean_strength_label(self) -> str:
        try:
            label: str = self.cleaned_data["strength_label"]
            self.strength = read_strength(label)
        except BadQuantity as error:
            raise forms.ValidationError(str(error)) from error
        return label

    def _post_clean(self) -> None:
        if hasattr(self, "strength"):
            self.instance.strength_wt_pct = self.strength.wt_pct
        super()._post_clean()
        # Only now: the bounds of the columns were looked at just before.
        self._judge_mixture()

    def _judge_mixture(self) -> None:
        """Ask about what these parts mix to."""
        data = self.cleaned_data
        needed = ("acid_parts", "water_parts", "temperature_c")
        if not hasattr(self, "strength") or any(data.get(name) is None for name in needed):
            return
        acid, water, temperature = (float(data[name]) for name in needed)
        verdict = judge_parts(acid, water, self.strength.wt_pct, temperature)
        if verdict.refused:
            self.add_error("acid_parts", " ".join(filter(None, (verdict.swapped, verdict.refused))))
            return
        if verdict.swapped and not data.get("more_acid"):
            self.add_error("more_acid", f"{verdict.swapped} If so, type them the other way round.")
        if verdict.needs_reason and not a_few_words(data.get("strong_reason") or ""):
            self.add_error("strong_reason", verdict.needs_reason)

    def changed_columns(self) -> list[str]:
        columns = super().changed_columns()
        return [*columns, "strength_wt_pct"] if "strength_label" in columns else columns


class StartForm(HouseForm):
    """When to look, from now."""

    from_minutes = forms.IntegerField(label="Look in after, minutes", initial=15, min_value=5, max_value=720)
    to_hours = forms.FloatField(label="All out after, hours", initial=4, min_value=0.1, max_value=12)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            # What is typed beside the pieces goes with it, in one form.
            field.widget.attrs["form"] = "notes"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if {"from_minutes", "to_hours"} <= set(data) and data["to_hours"] * 60 < data["from_minutes"]:
            self.add_error("to_hours", "This is before the first look.")
        return data

    @property
    def times(self) -> dict[str, timedelta]:
        return {
            "look_from": timedelta(minutes=self.cleaned_data["from_minutes"]),
            "look_to": timedelta(hours=self.cleaned_data["to_hours"]),
        }


class TakeOutForm(HouseForm):
    """A piece comes out; without a time, now."""

    outcome = forms.ChoiceField(choices=BathMember.Outcome.choices)
    at = forms.DateTimeField(required=False, widget=WhenInput())


class EndForm(HouseForm):
    """How the bath ended."""

    how = forms.ChoiceField(
        label="How it ended",
        choices=[
            (Bath.Ended.NEUTRALISED, Bath.Ended.NEUTRALISED.label),
            (Bath.Ended.COLLECTED, Bath.Ended.COLLECTED.label),
        ],
    )
    neutralised_with = forms.ChoiceField(
        label="With what", choices=[("", "nothing"), *((name, name) for name in NEUTRALISERS)], required=False
    )
    neutraliser_g = QuantityField(MASS, label="How much of it", most=50_000)
    final_ph = forms.DecimalField(
        label="pH at the end", min_value=0, max_value=14, max_digits=3, decimal_places=1, required=False
    )
    at = forms.DateTimeField(label="When, if not now", required=False, widget=WhenInput())
    note = forms.CharField(
        label="Note", max_length=NOTE_LENGTH, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )


class SoakForm(HouseModelForm):
    """The water, and the rule by which it is ready."""

    class Meta:
        model = Soak
        fields = (
            "name",
            "began_at",
            "vessel",
            "unit",
            "tap",
            "change_every_days",
            "rule_last",
            "rule_within_pct",
            "rule_near_tap_pct",
            "note",
        )
        widgets = {"note": forms.Textarea(attrs={"rows": 2}), "began_at": WhenInput()}
        labels = {"began_at": "Began, if not now"}
        help_texts = {
            "tap": "Measure the fresh water once: the soak is done when it reads nearly the same.",
            "change_every_days": "Our suggestion: daily at first, weekly later.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        began = self.fields["began_at"]
        began.required, began.initial = False, None
        if self.instance.pk:
            self.known, began.label = self.instance.began_at, "Began"
        else:
            self.known = None
            self.initial.pop("began_at", None)

    def clean_began_at(self) -> datetime:
        return time_that_was(self.cleaned_data["began_at"], self.known)


class SoakReadingForm(HouseModelForm):
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
        self.known = self.instance.at if self.instance.pk else None
        if self.known:
            self.fields["at"].label = "When"
        else:
            self.initial.pop("at", None)
        self.fields["value"].widget.attrs.update(inputmode="decimal", autocomplete="off")

    def clean_at(self) -> datetime:
        return time_that_was(self.cleaned_data["at"], self.known)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("value") is None and not data.get("changed_water") and "value" not in self.errors:
            self.add_error("value", "Type a reading, or say that the water was changed.")
        return data
