"""The form and formset of marks read off the glass: each form is one reading of a find."""

from functools import cached_property
from typing import Any

from django import forms

from catalogue.common.forms.composite import RowForm, RowSet, row_set
from catalogue.specimens.models import MarkReading, OwnMark

from .value import COLUMNS, NONE, SIDES, Choices, Reading, arrangements, frames, symbols

NO_HELP_TYPING = {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}


class MarkReadingForm(RowForm):
    """Letters, frame, symbol, and the characters on four sides.

    A side has three states: not looked (nothing entered), nothing there (its box ticked), or as typed.
    """

    asks = ("letters", "symbol", "frame", "arrangement", *SIDES, *(f"{side}_none" for side in SIDES))
    told = ("left", "letters", "right")
    usual = ("where", "certainty")

    frame = forms.ChoiceField(required=False, widget=forms.RadioSelect, choices=frames)
    symbol = forms.ChoiceField(required=False, widget=forms.RadioSelect)
    arrangement = forms.ChoiceField(label="How the letters stand", required=False, choices=arrangements)

    class Meta:
        model = MarkReading
        fields = COLUMNS
        labels = {"where": "Where on the vessel", "certainty": "How sure of the reading"}
        widgets = {"letters": forms.TextInput(attrs=NO_HELP_TYPING)}

    def __init__(self, *args: Any, offered: Choices | None = None, **kwargs: Any) -> None:
        """`offered`: the symbols to choose from, those of the tables alone where None."""
        super().__init__(*args, **kwargs)
        symbol = self.fields["symbol"]
        assert isinstance(symbol, forms.ChoiceField)
        symbol.choices = offered or symbols()
        for side, words in SIDES.items():
            self.fields[f"{side}_none"] = forms.BooleanField(label=f"{side}: nothing there", required=False)
            about = {"placeholder": "not looked", "aria-label": f"Characters {words}"}
            self.fields[side].widget.attrs.update(NO_HELP_TYPING | about)

    def clean_frame(self) -> str | None:
        return self.cleaned_data["frame"] or None

    def clean_arrangement(self) -> str | None:
        return self.cleaned_data["arrangement"] or None

    def clean_symbol(self) -> str | None:
        chosen = self.cleaned_data["symbol"]
        return "" if chosen == NONE else chosen or None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for side, where in SIDES.items():
            nothing, typed = data.get(f"{side}_none"), data.get(side)
            if nothing and typed:
                self.add_error(side, f"Either nothing is there {where}, or it reads {typed}: take one out.")
            elif nothing:
                data[side] = ""
        return data

    def sides(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        """Each side's name, its box for characters, and its box for nothing there."""
        return [(side, self[side], self[f"{side}_none"]) for side in SIDES]

    def row(self) -> MarkReading:
        row: MarkReading = self.instance
        return row

    def reading(self) -> Reading:
        """The reading as typed."""
        return Reading.of_row(self.row())


def initial_of(reading: Reading) -> dict[str, Any]:
    """What the form shows for a reading."""
    shown = {name: getattr(reading, name) or "" for name in COLUMNS}
    if reading.symbol == "":
        shown["symbol"] = NONE
    return shown | {f"{side}_none": reading.beside.get(side) == "" for side in SIDES}


def offered_symbols() -> Choices:
    """Symbols of the tables and of one's own makers: one query."""
    own = OwnMark.objects.filter(maker__binned_at=None).exclude(symbol="")
    return symbols(own.values_list("symbol", flat=True).distinct())


class MarkReadingSet(RowSet):
    """Readings that offer the symbols of one's own makers too."""

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        return super().get_form_kwargs(index) | {"offered": self._offered}

    @cached_property
    def _offered(self) -> Choices:
        """Asked once for all rows."""
        return offered_symbols()


MarkReadings = row_set(MarkReadingForm, MarkReadingSet)
