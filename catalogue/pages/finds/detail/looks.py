"""Looks worth taking as a find's page asks them, each with the form that answers it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import QueryDict

import dating
from catalogue.common.forms import HouseForm
from catalogue.pages.parts.evidence_query import LONGEST_ANSWER
from catalogue.pages.parts.looks import LookNext
from catalogue.specimens.models import MarkReading, Specimen
from catalogue.specimens.models.words import Certainty
from catalogue.specimens.reading.value import SIDES, Reading

MOST_ASIDE = 400  # all that can be asked
ASIDE = "skip"  # the key of the address, as where a bottle is dated


class SeenForm(HouseForm):
    """One answer: a feature of the tables, and whether one is not sure of it."""

    feature = forms.ChoiceField(
        choices=lambda: [(each.id, each.term) for each in dating.reference().features.values()],
        error_messages={"invalid_choice": "That answer is not in the tables any more. Choose another."},
    )
    unsure = forms.BooleanField(label="Not sure of it", required=False)

    @property
    def certainty(self) -> str:
        return Certainty.DOUBTFUL if self.cleaned_data["unsure"] else Certainty.CERTAIN


class BesideForm(HouseForm):
    """The characters that stand at one side of a mark, or that nothing stands there."""

    side = forms.ChoiceField(label="Where they stand", choices=list(SIDES.items()), widget=forms.RadioSelect)
    characters = forms.CharField(
        label="Characters",
        required=False,
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    reading = forms.IntegerField(min_value=1, widget=forms.HiddenInput)

    def __init__(self, *args: Any, place: int = 0, side: str = "", **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"beside-{place}-%s")
        super().__init__(*args, **kwargs)
        self.initial.setdefault("side", side or "right")
        if side:
            self.fields["side"].widget = forms.HiddenInput()

    @property
    def nothing(self) -> bool:
        return "nothing" in self.data

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.nothing and not data.get("characters") and "characters" not in self.errors:
            self.add_error("characters", "Write what stands there, ? for what can't be read.")
        return data


@dataclass(frozen=True, slots=True)
class AskedLook:
    """One look as the page asks it; a form of its own where characters are asked for."""

    look: LookNext
    pass_on: str
    """The address at which the next question is asked instead."""
    beside: BesideForm | None = None


def aside_in(query: QueryDict) -> list[str]:
    """The questions that were passed on."""
    names = [name[:LONGEST_ANSWER] for name in query.getlist(ASIDE)]
    return list(dict.fromkeys(names))[:MOST_ASIDE]


def asking(aside: Sequence[str]) -> str:
    """The query string of a find's page on which looks are asked, but for those passed on."""
    return "?" + urlencode([("look", ""), *((ASIDE, name) for name in aside)])


def asked_looks(
    find: Specimen, looks: Sequence[LookNext], aside: Sequence[str], typed: BesideForm | None = None
) -> list[AskedLook]:
    """The looks with their forms. No query where the readings are prefetched; `typed` is shown again."""
    # The service numbers the readings that it was given: those with anything read of the mark itself.
    read = [row for row in find.readings.all() if Reading.of_row(row).was_read]
    return [
        AskedLook(look, asking([*aside, look.aside]), _beside(look, place, read, typed))
        for place, look in enumerate(looks)
        if look.answers or (look.reading is not None and look.reading < len(read))
    ]


def _beside(
    look: LookNext, place: int, read: Sequence[MarkReading], typed: BesideForm | None
) -> BesideForm | None:
    if look.reading is None:
        return None
    key = read[look.reading].pk
    if typed is not None and typed.data.get("reading") == str(key):
        return BesideForm(typed.data, place=place, side=look.side)
    return BesideForm(initial={"reading": key}, place=place, side=look.side)
