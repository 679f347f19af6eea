"""Forms of sites, permissions and dives."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone

from catalogue.common.forms import AngleField, CertainDateInput, HouseForm, HouseModelForm, NamesField
from catalogue.common.limits import a_few_words
from catalogue.common.positions import LATITUDE, LONGITUDE
from catalogue.people.forms import NameInput
from catalogue.people.models import Person
from catalogue.people.services import person_named

from . import papers
from .dangers import Danger
from .models import Dive, Permission, Site
from .services import REASON_WANTED

# What a file system takes as a name.
PAPER_NAME_LENGTH = 255
POSITION_HELP = "44.341667, 44° 20.5' N or 44° 20' 30\" N"


class SiteForm(HouseModelForm):
    """A site. The position is kept exact; what visitors see is set apart."""

    latitude = AngleField(LATITUDE, required=False, help_text=POSITION_HELP)
    longitude = AngleField(LONGITUDE, required=False)
    # Named by what is read: "exact" was taken for the position, and is the name.
    show_as = forms.ChoiceField(
        label="What visitors read of it",
        choices=[
            (Site.ShowAs.HIDDEN, "nothing"),
            (Site.ShowAs.ROUNDED, "its water, and its position rounded to 0.1°"),
            (Site.ShowAs.EXACT, "its name and its water"),
        ],
        help_text="On the page and the slip of each piece from here that is shared or free: “It lay in: …”. "
        "They are never shown a distance, nor its position as you give it.",
    )
    dangers = forms.MultipleChoiceField(
        label="Hazards of diving there",
        required=False,
        choices=Danger.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="Said before each dive there. None ticked doesn't mean that there is none.",
    )

    class Meta:
        model = Site
        fields = (
            "name",
            "water_body",
            "latitude",
            "longitude",
            "uncertainty_m",
            "show_as",
            "greatest_depth_m",
            "bottom",
            "bed_owner",
            "tidal",
            "wreck",
            "military",
            "protected_check",
            "protected_checked_on",
            "dangers",
            "dangers_words",
            "notes",
        )
        widgets = {
            "protected_checked_on": CertainDateInput(),
            "protected_check": forms.Textarea(attrs={"rows": 2}),
            "dangers_words": forms.Textarea(attrs={"rows": 2}),
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        known = [data.get("latitude") is not None, data.get("longitude") is not None]
        typed = [bool(self.data.get(self.add_prefix(name))) for name in ("latitude", "longitude")]
        if any(known) and not all(known) and not all(typed):
            self.add_error(
                "longitude" if known[0] else "latitude", "Give both latitude and longitude, or neither."
            )
        return data


class PermissionForm(HouseModelForm):
    """An answer about taking things, with its letter or permit."""

    paper = forms.FileField(
        label="Letter or permit",
        required=False,
        max_length=PAPER_NAME_LENGTH,
        help_text="A PDF, a picture or plain text, 25 MB at the most.",
        widget=forms.FileInput(attrs={"accept": "application/pdf,image/*,text/plain"}),
        error_messages={"empty": "This file is empty. Choose another."},
    )
    drop_paper = forms.BooleanField(label="Take the paper off this answer", required=False)

    class Meta:
        model = Permission
        fields = (
            "basis",
            "authority",
            "reference",
            "asked_on",
            "answered_by",
            "valid_from",
            "valid_to",
            "conditions",
        )
        widgets = {
            "asked_on": CertainDateInput(),
            "answered_by": NameInput(),
            "valid_from": CertainDateInput(),
            "valid_to": CertainDateInput(),
            "conditions": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args: Any, too_large: bool = False, **kwargs: Any) -> None:
        """`too_large`: a file was on its way that passed the limit of all files, and was cut off."""
        self.too_large = too_large
        super().__init__(*args, **kwargs)
        if not self.instance.file:
            del self.fields["drop_paper"]

    def clean_paper(self) -> "UploadedFile[Any] | None":
        paper: UploadedFile[Any] | None = self.cleaned_data["paper"]
        why = papers.TOO_HEAVY if self.too_large else papers.refusal(paper) if paper else ""
        if why:
            raise forms.ValidationError(why)
        return paper

    def full_clean(self) -> None:
        super().full_clean()
        sent = self.is_bound and self.files.get(self.add_prefix("paper"))
        if sent and self.errors and not self.has_error("paper"):
            self.add_error("paper", "Choose the file again: a browser doesn't keep it for the next try.")


class DiveForm(HouseModelForm):
    buddies_named = NamesField(
        label="With",
        required=False,
        max_length=1000,
        widget=NameInput,
        help_text="Names, parted by commas.",
    )

    class Meta:
        model = Dive
        fields = ("site", "date", "start", "minutes", "depth_m", "visibility_m", "water_c", "notes")
        widgets = {
            "date": CertainDateInput(),
            "start": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "notes": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial.setdefault("buddies_named", ", ".join(p.name for p in self.instance.buddies.all()))
        else:
            self.initial.setdefault("date", timezone.localdate())

    def buddies(self) -> list[Person] | None:
        """The people named, made where they are new; None where nobody was changed. Writes: call it last."""
        if self.instance.pk and "buddies_named" not in self.changed_data:
            return None
        return [person_named(name) for name in self.cleaned_data["buddies_named"]]


class ClearHoldForm(HouseForm):
    """Who cleared a hold, and why: a decision of a person, not a tap."""

    reason = forms.CharField(
        label="Who said so, and what did they look at?",
        max_length=2000,
        help_text="At least three words; kept with the site.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    by = forms.CharField(label="Cleared by", max_length=200, widget=NameInput)

    def clean_reason(self) -> str:
        reason: str = self.cleaned_data["reason"]
        if not a_few_words(reason):
            raise forms.ValidationError(REASON_WANTED)
        return reason
