"""A treatment written down, or put right."""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone

from catalogue.care.models import Treatment
from catalogue.care.piece_facts import know, waits
from catalogue.common.forms import HouseModelForm
from catalogue.people.forms import who_field
from catalogue.specimens.models import Specimen


class WhenInput(forms.DateTimeInput):
    """The browser's own picker of day and time."""

    input_type = "datetime-local"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%dT%H:%M", **kwargs)


class TreatmentForm(HouseModelForm):
    """A treatment in the words of the bench; where the site is on hold, some ask for a reason."""

    by_name = who_field("Who did it")
    stage = forms.ChoiceField(
        label="Stage now",
        choices=[("", "as it is"), *Specimen.Stage.choices],
        required=False,
    )

    class Meta:
        model = Treatment
        fields = (
            "method",
            "begun",
            "ended",
            "look",
            "agents",
            "strength",
            "tools",
            "passes",
            "result",
            "note",
            "override_reason",
        )
        widgets = {
            "begun": WhenInput(),
            "ended": WhenInput(),
            "note": forms.Textarea(attrs={"rows": 2}),
            "override_reason": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {"override_reason": "Why it was done all the same"}
        help_texts = {
            "agents": "Fresh water, soap flakes, hardware-store acid.",
            "strength": "As the label says it: 31.45 %, 15 parts to 85.",
            "tools": "Soft sponge on a wire, toothbrush, wooden pick.",
            "passes": "How often you went over it.",
            "override_reason": "Needed where it is advised against for this piece.",
        }

    def __init__(self, *args: Any, find: Specimen, **kwargs: Any) -> None:
        # Several forms stand on a find's page: each has ids of its own.
        kwargs.setdefault("auto_id", "treatment-%s")
        super().__init__(*args, **kwargs)
        self.instance.find = find
        self.on_hold = bool(find.where_found and find.where_found.holds)
        self.known = know(find)
        self.known_times = {name: getattr(self.instance, name) for name in ("begun", "ended")}
        if not (self.known.blocks or find.look == "growth" or self.instance.override_reason):
            del self.fields["override_reason"]
        if self.instance.pk is not None:
            # Where the piece stands now is no part of what was done then.
            del self.fields["stage"]
            self.initial.setdefault("by_name", str(self.instance.by or ""))
        else:
            self.initial.setdefault("begun", timezone.localtime().replace(second=0, microsecond=0))
            self.initial.setdefault("look", find.look)

    def clean_begun(self) -> Any:
        return self._not_ahead("begun")

    def clean_ended(self) -> Any:
        return self._not_ahead("ended")

    def clean_passes(self) -> int | None:
        passes: int | None = self.cleaned_data["passes"]
        if passes is not None and passes > 500:
            raise forms.ValidationError("This can't be more than 500.")
        return passes

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        begun, ended = data.get("begun"), data.get("ended")
        if begun and ended and ended < begun:
            self.add_error("ended", "It can't end before it began.")
        held = waits(data.get("method", ""), self.instance.find.where_found)
        if held and not (data.get("override_reason") or "").strip():
            self.add_error(
                "override_reason", "This site is on hold for that treatment: write down why it was done."
            )
        elif not (data.get("override_reason") or "").strip() and (
            against := self.known.advised_against(data.get("method", ""))
        ):
            why = f"Advised against here ({against.reasons[0].words}): write down why it was done."
            self.add_error("override_reason", why)
        return data

    def _not_ahead(self, name: str) -> Any:
        moment = self.cleaned_data[name]
        if moment and not (moment.year >= 1900 and moment <= timezone.now() + timedelta(hours=1)):
            raise forms.ValidationError("Give a time that has been; check the year.")
        known = self.known_times[name]
        # The picker shows no seconds: left as it was, it keeps them.
        same = known and moment and moment == known.replace(second=0, microsecond=0)
        return known if same else moment
