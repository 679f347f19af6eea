"""Which dive it came up on: one on record, a new one, or not known."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.db.models import Q
from django.utils import timezone
from django.utils.formats import date_format

from catalogue.common.forms import CertainDateInput, HouseForm, NamesField
from catalogue.common.forms.fields import RecoveredField, choice_field
from catalogue.common.limits import NAME_LENGTH, at_most, not_in_future, not_negative
from catalogue.common.words import GAP_WORDS
from catalogue.sites.models import Dive, Site
from catalogue.specimens.services import WhereFound

RECENT = 4
NEW_DIVE, OLDER, UNKNOWN_DIVE = "new", "older", "unknown"
# Older "dives" are a slip of the finger; the year is part of the number on the label.
DIVES_SINCE = date(1900, 1, 1)


@dataclass(frozen=True, slots=True)
class ListedDive:
    """A dive as a choice of the form."""

    pk: int
    day: date
    ordinal: int
    site: str

    @property
    def words(self) -> str:
        """Day, site, ordinal."""
        return f"{date_format(self.day, 'j M Y')} · {self.site} · dive {self.ordinal}"


class WhichDiveForm(HouseForm):
    """The blocks for a new dive and for no dive count only where they are the one picked."""

    use_required_attribute = False

    pick = forms.ChoiceField(label="Dive", required=False, widget=forms.RadioSelect)
    older = forms.ChoiceField(label="Which dive", required=False)
    site = forms.ChoiceField(required=False)
    new_site = forms.CharField(label="Or a new site", required=False, max_length=NAME_LENGTH)
    date = forms.DateField(label="Day", required=False, validators=[not_in_future], widget=CertainDateInput)
    dive_depth_m = forms.DecimalField(
        label="Greatest depth, m",
        required=False,
        max_digits=5,
        decimal_places=1,
        validators=[not_negative, at_most(350, "m")],
        widget=forms.NumberInput(attrs={"inputmode": "decimal"}),
    )
    buddies = NamesField(label="With", required=False, max_length=500, help_text="Names, commas between.")
    loose_site = forms.ChoiceField(label="Site, if known", required=False)
    loose_new_site = forms.CharField(label="Or a new site", required=False, max_length=NAME_LENGTH)
    recovered = RecoveredField(
        label="Came up about",
        required=False,
        max_length=40,
        help_text="A year, about 1995, the 1990s, or 1990 to 1995.",
    )

    BLOCKS = {
        NEW_DIVE: ("site", "new_site", "date", "dive_depth_m", "buddies"),
        UNKNOWN_DIVE: ("loose_site", "loose_new_site", "recovered"),
        OLDER: ("older",),
    }

    def __init__(self, *args: Any, current: Dive | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        live = Q(binned_at=None) | Q(pk=current.pk if current else None)
        rows = Dive.everything.filter(live).order_by("-date", "-ordinal")
        # This form is read with every key typed: the four columns that it shows, not whole rows.
        dives = [ListedDive(*row) for row in rows.values_list("pk", "date", "ordinal", "site__name")]
        first = [dive for dive in dives if current and dive.pk == current.pk]
        recent = first + [dive for dive in dives[:RECENT] if dive not in first]
        older = [dive for dive in dives if dive not in recent]
        sites = [
            ("", "choose a site"),
            *((str(pk), name) for pk, name in Site.objects.values_list("pk", "name")),
        ]
        choice_field(self, "pick").choices = [
            *((str(dive.pk), dive.words) for dive in recent),
            *([(OLDER, "an earlier dive")] if older else []),
            (NEW_DIVE, "a new dive"),
            (UNKNOWN_DIVE, "don't know"),
        ]
        choice_field(self, "older").choices = [
            ("", "choose a dive"),
            *((str(dive.pk), dive.words) for dive in older),
        ]
        choice_field(self, "site").choices = sites
        choice_field(self, "loose_site").choices = [("", GAP_WORDS), *sites[1:]]
        self.initial.setdefault("date", timezone.localdate())
        self.initial.setdefault("pick", self._usual(dives))

    def _usual(self, dives: list[ListedDive]) -> str:
        """The latest dive where it was today or yesterday; else nothing is known."""
        latest = dives[0] if dives else None
        fresh = latest and (timezone.localdate() - latest.day).days <= 1
        return str(latest.pk) if latest and fresh else UNKNOWN_DIVE

    def clean_buddies(self) -> list[str]:
        names = self.cleaned_data["buddies"]
        if any(len(name) > NAME_LENGTH for name in names):
            raise forms.ValidationError(f"A name can have {NAME_LENGTH} letters. Part names by commas.")
        return list(names)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        pick = data.get("pick") or UNKNOWN_DIVE
        for block, names in self.BLOCKS.items():
            if block != pick:
                for name in names:
                    self.errors.pop(name, None)
        if pick == OLDER and not data.get("older") and "older" not in self.errors:
            self.add_error("older", "Choose the dive, or say that you don't know.")
        elif pick == NEW_DIVE:
            self._check_new(data)
        if pick == UNKNOWN_DIVE and data.get("loose_site") and data.get("loose_new_site"):
            self.add_error("loose_new_site", "Choose a site or name a new one, not both.")
        return data

    def _check_new(self, data: dict[str, Any]) -> None:
        if data.get("site") and data.get("new_site"):
            self.add_error("new_site", "Choose a site or name a new one, not both.")
        elif not (data.get("site") or data.get("new_site") or {"site", "new_site"} & set(self.errors)):
            self.add_error("site", "Choose the site, or name a new one.")
        if "date" not in self.errors:
            if not data.get("date"):
                self.add_error("date", "Give the day of the dive.")
            elif data["date"] < DIVES_SINCE:
                self.add_error("date", f"Give a day after {DIVES_SINCE.year}. Check the year.")

    def chosen(self) -> WhereFound:
        """What was picked, from the fields without an error."""
        data = self.cleaned_data
        pick = data.get("pick") or UNKNOWN_DIVE
        if pick == NEW_DIVE:
            return WhereFound(
                site=_key(data.get("site")),
                new_site=data.get("new_site") or "",
                day=data.get("date"),
                depth_m=data.get("dive_depth_m"),
                buddies=tuple(data.get("buddies") or ()),
            )
        if pick == UNKNOWN_DIVE:
            return WhereFound(
                site=_key(data.get("loose_site")),
                new_site=data.get("loose_new_site") or "",
                recovered=data.get("recovered") or "",
            )
        return WhereFound(dive=_key(data.get("older") if pick == OLDER else pick))


def _key(value: str | None) -> int | None:
    return int(value) if value else None
