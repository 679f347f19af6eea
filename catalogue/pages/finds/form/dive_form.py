"""Which dive it came up on: one on record, a new one, or not known."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django import forms
from django.db.models import Q
from django.utils import timezone

from catalogue.common.forms import CertainDateInput, HouseForm, NamesField
from catalogue.common.forms.fields import RecoveredField, choice_field, quantity_of
from catalogue.common.limits import NAME_LENGTH, not_in_future
from catalogue.common.localisation import day_words
from catalogue.common.quantities import DEPTH
from catalogue.common.words import GAP_WORDS
from catalogue.people.forms import NameInput
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import WhereFound

RECENT = 4
NEW_DIVE, UNKNOWN_DIVE = "new", "unknown"
# The last dive is the likely one for a month; what is recorded later comes from a shelf as a rule.
LIKELY_FOR = timedelta(days=31)
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
        day = "today" if self.day == timezone.localdate() else day_words(self.day)
        return f"{day}, {self.site}, dive {self.ordinal}"


class WhichDiveForm(HouseForm):
    """The blocks for a new dive and for no dive count only where they are the one picked."""

    use_required_attribute = False

    pick = forms.ChoiceField(label="Dive", required=False)
    site = forms.ChoiceField(required=False)
    new_site = forms.CharField(label="Or a new site", required=False, max_length=NAME_LENGTH)
    date = forms.DateField(label="Day", required=False, validators=[not_in_future], widget=CertainDateInput)
    dive_depth_m = quantity_of(Dive, "depth_m", DEPTH, "Greatest depth")
    buddies = NamesField(
        label="With",
        required=False,
        max_length=500,
        widget=NameInput,
        help_text="Names, commas between.",
    )
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
    }

    def __init__(self, *args: Any, current: Dive | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        live = Q(binned_at=None) | Q(pk=current.pk if current else None)
        rows = Dive.everything.filter(live).order_by("-date", "-ordinal")
        # This form is read with every key typed: the four columns that it shows, not whole rows.
        dives = [ListedDive(*row) for row in rows.values_list("pk", "date", "ordinal", "site__name")]
        first = [dive for dive in dives if current and dive.pk == current.pk]
        recent = first + [dive for dive in dives[:RECENT] if dive not in first]
        older = [dive for dive in dives[RECENT:] if dive not in first]
        sites = [
            ("", "choose a site"),
            *((str(pk), name) for pk, name in Site.objects.values_list("pk", "name")),
        ]
        choice_field(self, "pick").choices = [
            *_listed(recent),
            (NEW_DIVE, "a new dive"),
            (UNKNOWN_DIVE, GAP_WORDS),
            *([("Earlier dives", _listed(older))] if older else []),
        ]
        choice_field(self, "site").choices = sites
        choice_field(self, "loose_site").choices = [("", GAP_WORDS), *sites[1:]]
        self.initial.setdefault("date", timezone.localdate())
        if "pick" not in self.initial:
            self.initial["pick"] = UNKNOWN_DIVE if self.is_bound else _usual(dives)

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
        if pick == NEW_DIVE:
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
        return WhereFound(dive=_key(pick))


def _usual(dives: list[ListedDive]) -> str:
    """The last dive while it is the likely one: not while a shelf is taken in, the last piece of it today."""
    if not dives or timezone.localdate() - dives[0].day > LIKELY_FOR:
        return UNKNOWN_DIVE
    before = Specimen.everything.order_by("-pk").values_list("dive_id", "created").first()
    from_shelf = before and before[0] is None and timezone.localdate(before[1]) == timezone.localdate()
    return UNKNOWN_DIVE if from_shelf and dives[0].day != timezone.localdate() else str(dives[0].pk)


def _listed(dives: Iterable[ListedDive]) -> list[tuple[str, str]]:
    return [(str(dive.pk), dive.words) for dive in dives]


def _key(value: str | None) -> int | None:
    return int(value) if value else None
