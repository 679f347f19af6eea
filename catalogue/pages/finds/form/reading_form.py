"""A maker's mark as it was read off the glass."""

from functools import cached_property
from typing import Any

from django import forms

from catalogue.pages.parts import choices
from catalogue.specimens.models import MarkReading, OwnMark

from .rows import RowForm, RowSet, row_set


class ReadingForm(RowForm):
    """Letters, frame, symbol, and the characters on four sides.

    A side has three states: not looked (nothing entered), nothing there (its box ticked), or as typed.
    """

    asks = (
        "letters",
        "symbol",
        "frame",
        "arrangement",
        *MarkReading.SIDES,
        *(f"{s}_none" for s in MarkReading.SIDES),
    )
    told = ("left", "letters", "right")
    usual = ("where", "certainty")

    frame = forms.ChoiceField(required=False, widget=forms.RadioSelect)
    symbol = forms.ChoiceField(required=False, widget=forms.RadioSelect)
    arrangement = forms.ChoiceField(label="How the letters stand", required=False)

    class Meta:
        model = MarkReading
        fields = ("where", "letters", "symbol", "frame", "arrangement", *MarkReading.SIDES, "certainty")
        labels = {"where": "Where on the vessel", "certainty": "How sure of the reading"}
        widgets = {
            "letters": forms.TextInput(
                attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
            )
        }

    def __init__(self, *args: Any, symbols: choices.Choices | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["frame"].choices = choices.frames()
        self.fields["symbol"].choices = symbols or choices.symbols()
        self.fields["arrangement"].choices = choices.arrangements()
        for side in MarkReading.SIDES:
            self.fields[f"{side}_none"] = forms.BooleanField(label=f"{side}: nothing there", required=False)
            self.fields[side].widget.attrs.update(
                {
                    "autocapitalize": "characters",
                    "autocomplete": "off",
                    "spellcheck": "false",
                    "placeholder": "not looked",
                    "aria-label": f"Characters {at(side)}",
                }
            )

    def clean_frame(self) -> str | None:
        return self.cleaned_data["frame"] or None

    def clean_arrangement(self) -> str | None:
        return self.cleaned_data["arrangement"] or None

    def clean_symbol(self) -> str | None:
        chosen = self.cleaned_data["symbol"]
        return "" if chosen == "none" else chosen or None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for side in MarkReading.SIDES:
            nothing, typed = data.get(f"{side}_none"), data.get(side)
            if nothing and typed:
                self.add_error(
                    side, f"Either nothing is there {at(side)}, or it reads {typed}: take one out."
                )
            elif nothing:
                data[side] = ""
        return data

    def sides(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        """Each side's name, its box for characters, and its box for nothing there."""
        return [(side, self[side], self[f"{side}_none"]) for side in MarkReading.SIDES]


def at(side: str) -> str:
    """Where that is, in words."""
    return {"left": "at the left", "right": "at the right", "above": "above", "below": "below"}[side]


def initial_of(reading: MarkReading) -> dict[str, Any]:
    """What the form shows for a stored reading."""
    shown: dict[str, Any] = {
        "where": reading.where,
        "letters": reading.letters,
        "symbol": "none" if reading.symbol == "" else reading.symbol or "",
        "frame": reading.frame or "",
        "arrangement": reading.arrangement or "",
        "certainty": reading.certainty,
    }
    for side in MarkReading.SIDES:
        value = getattr(reading, side)
        shown[side] = value or ""
        shown[f"{side}_none"] = value == ""
    return shown


class ReadingSet(RowSet):
    """Readings that offer the symbols of one's own makers too."""

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        return super().get_form_kwargs(index) | {"symbols": self._symbols}

    @cached_property
    def _symbols(self) -> choices.Choices:
        """Asked once for all rows: one query."""
        own = OwnMark.objects.filter(maker__binned_at=None).exclude(symbol="")
        return choices.symbols(own.values_list("symbol", flat=True).distinct())


Readings = row_set(ReadingForm, ReadingSet)
