"""Forms of a shelf taken in by a picture: what holds for all its bottles, and where each stands.

The boxes are rows of numbers: what the drawing on the picture writes, and what one can type where no
script runs.
"""

import secrets
from collections.abc import Iterable
from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.common.forms.composite import MaybeBlank, RowSet, row_set
from catalogue.common.forms.fields import RecoveredField
from catalogue.common.limits import NAME_LENGTH
from catalogue.common.words import GAP_WORDS
from catalogue.photos.boxes import within
from catalogue.photos.models import ShelfBox
from catalogue.photos.services.shelf import BoxRow
from catalogue.shelves.models import Place
from catalogue.shelves.services import place_named
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen


class BeginForm(HouseForm):
    """The place, and what is known of all its bottles together."""

    use_required_attribute = False

    place = forms.ModelChoiceField(
        Place.objects.only("path", "name"),
        label="Where they stand",
        required=False,
        empty_label="choose a place",
    )
    new_place = forms.CharField(
        label="Or a new place",
        required=False,
        max_length=NAME_LENGTH,
        help_text="Attic box 3, hall case: as you would say it to find them again.",
    )
    kind = forms.ChoiceField(
        label="Most of them are",
        required=False,
        choices=[("", f"mixed, or {GAP_WORDS}"), *Specimen.Kind.choices],
        help_text="Each can be changed on its own.",
    )
    recovered = RecoveredField(
        label="Came up about",
        required=False,
        max_length=40,
        help_text="A year, about 1995, the 1990s, or 1990 to 1995. Leave it empty if nobody knows.",
    )
    site = forms.ModelChoiceField(
        Site.objects.only("name"),
        label="Site, if it is the same for all",
        required=False,
        empty_label=GAP_WORDS,
    )
    stage = forms.ChoiceField(
        label="How far along they are", choices=Specimen.Stage.choices, initial=Specimen.Stage.DONE
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        new = " ".join((data.get("new_place") or "").split())
        if data.get("place") and new:
            self.add_error("new_place", "Choose a place or name a new one, not both.")
        elif not data.get("place") and not new and not {"place", "new_place"} & set(self.errors):
            self.add_error("place", "Say where they stand, so that they can be found again.")
        data["new_place"] = new
        return data

    def chosen_place(self) -> Place:
        """The place chosen, or the one named: at the top, made where there is none of that name."""
        place: Place = place_named(self.cleaned_data["new_place"]) or self.cleaned_data["place"]
        return place


EDGES = ("left", "top", "right", "bottom")
MOST_BOXES = 200
BOX_PREFIX = "box"


def edge(label: str) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        required=False,
        min_value=0,
        max_value=100,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={"invalid": "Write a number from 0 to 100."},
    )


class BoxForm(MaybeBlank, HouseForm):
    """Edges in per cent of the picture's width and height, from the top left; without one it is no box."""

    asks = EDGES

    key = forms.RegexField(r"^[\w-]{1,36}$", required=False, widget=forms.HiddenInput)
    left = edge("Left edge, %")
    top = edge("Top, %")
    right = edge("Right edge, %")
    bottom = edge("Foot, %")
    kind = forms.ChoiceField(
        label="Kind", required=False, choices=[("", "kind not said"), *Specimen.Kind.choices]
    )
    remove = forms.BooleanField(label="Take it out", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # A row sent twice (a dropped connection, a second press) is the same box both times.
        self.fields["key"].initial = secrets.token_hex(8)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.is_blank or data.get("remove"):
            return data
        for name in EDGES:
            if data.get(name) is None and name not in self.errors:
                self.add_error(name, "This edge is missing.")
        if not self.errors:
            if data["right"] <= data["left"]:
                self.add_error("right", "The right edge must lie right of the left one.")
            if data["bottom"] <= data["top"]:
                self.add_error("bottom", "The foot must lie below the top.")
        return data

    def row(self, width: int, height: int) -> BoxRow:
        """The row in pixels of a picture of that size."""
        data = self.cleaned_data
        at = [float(data.get(name) or 0) / 100 for name in EDGES]
        corners = (round(at[0] * width), round(at[1] * height), round(at[2] * width), round(at[3] * height))
        key = data.get("key") or secrets.token_hex(8)
        return BoxRow(key, within(corners, width, height), data.get("kind") or "", bool(data.get("remove")))


class BoxRows(RowSet):
    """All rows of one picture that have no number yet."""

    def boxes(self, width: int, height: int) -> list[BoxRow]:
        """The rows in pixels of a picture of that size."""
        return [form.row(width, height) for form in self.entered()]


BoxSet = row_set(BoxForm, BoxRows, most=MOST_BOXES, absolute=MOST_BOXES + 1, can_delete=False)


def initial_of(boxes: Iterable[ShelfBox], width: int, height: int) -> list[dict[str, Any]]:
    """What the rows show for stored boxes."""
    return [
        {
            "key": box.key,
            "left": round(100 * box.left_px / width, 3),
            "top": round(100 * box.top_px / height, 3),
            "right": round(100 * box.right_px / width, 3),
            "bottom": round(100 * box.bottom_px / height, 3),
            "kind": box.kind,
        }
        for box in boxes
    ]
