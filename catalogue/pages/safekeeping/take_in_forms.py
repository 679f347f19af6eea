"""The forms of a spreadsheet taken in: the file, what its columns are, where its pictures lie."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest
from django.utils import timezone

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import choice_field
from catalogue.common.text import folded
from catalogue.exchange.models import TakeIn
from catalogue.exchange.takein.answers import SheetAnswers
from catalogue.exchange.takein.cell_words import DayOrder
from catalogue.exchange.takein.matching import UNITS_OFFERED, SheetColumnGuess, wants_order, wants_unit
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takein.sheet import ReadSheet, SheetRefused
from catalogue.exchange.takein.sheet_fields import INTO_NOTES, NOT_TAKEN, SHEET_FIELDS
from catalogue.specimens.models.words import Stage

from .forms import PATH_LENGTH

ORDERS_OFFERED = [
    ("", "say which"),
    (DayOrder.DAY_FIRST, "the day"),
    (DayOrder.MONTH_FIRST, "the month"),
]
STILL_OPEN = (("unit", "Say the unit of the numbers that have none."), ("order", "Say which comes first."))
SHEET_TOO_LARGE = "This file is larger than 80 MB: part it into several, or name a folder."


class SheetFileForm(HouseForm):
    """A spreadsheet, read as it is checked."""

    file = forms.FileField(
        label="Spreadsheet",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,.ods"}),
        help_text="CSV, XLSX or ODS, with a row of headings and a row for each find.",
    )

    sheet: ReadSheet
    data_of_file: bytes

    def __init__(self, request: HttpRequest) -> None:
        posted = request.method == "POST"
        super().__init__(request.POST if posted else None, request.FILES if posted else None)
        self.skipped = bool(getattr(request, "too_large", []))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.skipped:
            self.errors.pop("file", None)
            self.add_error("file", SHEET_TOO_LARGE)
        elif not data.get("file") and "file" not in self.errors:
            self.add_error("file", "Choose the file first.")
        elif data.get("file"):
            self._read(data["file"])
        return data

    @property
    def name(self) -> str:
        """What the file is called."""
        return str(self.cleaned_data["file"].name)

    def _read(self, file: Any) -> None:
        self.data_of_file = file.read()
        try:
            self.sheet = read_sheet(str(file.name), self.data_of_file)
        except SheetRefused as refused:
            self.add_error("file", f"{refused} Nothing was taken in.")


@dataclass(frozen=True, slots=True)
class ShownColumn:
    """One column as the page shows it: its guess, its boxes, and what its days leave open."""

    guess: SheetColumnGuess
    choice: forms.BoundField
    unit: forms.BoundField | None
    order: forms.BoundField | None


class ColumnsForm(HouseForm):
    """What each column is, and what is done where the sheet leaves things open."""

    use_required_attribute = False

    stage = forms.ChoiceField(
        label="How far along, where the sheet doesn't say", choices=Stage.choices, initial=Stage.DONE
    )
    make_sites = forms.BooleanField(label="Add sites that are not on record", required=False)
    make_dives = forms.BooleanField(
        label="Record dives that are not on record",
        required=False,
        help_text="One for each day and site that a row names; otherwise only the year is kept.",
    )
    make_places = forms.BooleanField(label="Add places that are not on record", required=False)
    show_visitors = forms.BooleanField(
        label="Visitors may see the pieces that the sheet says are shared or free", required=False
    )
    unread_into_notes = forms.BooleanField(
        label="Keep cells that can't be read in the notes, instead of refusing their rows", required=False
    )

    def __init__(
        self,
        data: Any = None,
        *,
        take_in: TakeIn,
        guesses: Sequence[SheetColumnGuess],
        sheet: ReadSheet,
    ) -> None:
        self.said = SheetAnswers.of_stored(take_in.answers)
        initial = {name: getattr(self.said, name) for name in ("stage", *_TICKS)}
        super().__init__(data, initial=initial)
        self.guesses, self.sheet = guesses, sheet
        self.cells = {
            each.index: [row.cells[each.index] for row in sheet.rows if row.cells[each.index]]
            for each in guesses
        }
        choices = [
            (NOT_TAKEN, "leave out"),
            (INTO_NOTES, "into the notes, under its heading"),
            *((each.key, each.label) for each in SHEET_FIELDS.values()),
        ]
        for each in guesses:
            self._add(each, choices)

    def _add(self, each: SheetColumnGuess, choices: list[tuple[str, str]]) -> None:
        name, plain = f"column-{each.index}", folded(each.heading)
        self.fields[name] = forms.ChoiceField(label=each.heading, required=False)
        choice_field(self, name).choices = choices
        self.initial[name] = self.said.columns.get(plain, each.key)
        key = str(self[name].value() or "")
        if wants_unit(key, each.heading, self.cells[each.index]):
            quantity = SHEET_FIELDS[key].quantity
            assert quantity
            units = [(unit, unit) for unit in UNITS_OFFERED[quantity.stored]]
            self.fields[f"unit-{each.index}"] = forms.ChoiceField(
                label="Its bare numbers are", required=False, choices=[("", "say the unit"), *units]
            )
            self.initial[f"unit-{each.index}"] = self.said.units.get(plain, "")
        if open_days := wants_order(key, self.cells[each.index], timezone.localdate()):
            example, day_first, month_first = open_days
            surely = f"{day_first:,} other days here are surely day first, {month_first:,} month first."
            self.fields[f"order-{each.index}"] = forms.ChoiceField(
                label=f"In {example}, what comes first",
                required=False,
                choices=ORDERS_OFFERED,
                help_text=surely,
            )
            self.initial[f"order-{each.index}"] = self.said.orders.get(plain, "")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        taken: dict[str, str] = {}
        for each in self.guesses:
            key = data.get(f"column-{each.index}") or ""
            if key in (NOT_TAKEN, INTO_NOTES):
                continue
            if key in taken:
                self.add_error(
                    f"column-{each.index}", f"Column {taken[key]} is that already: choose another."
                )
            taken[key] = each.letters
            for name, why in STILL_OPEN:
                if f"{name}-{each.index}" in self.fields and not data.get(f"{name}-{each.index}"):
                    self.add_error(f"{name}-{each.index}", why)
        if not taken:
            self.add_error(None, "Every column is left out: choose what at least one of them is.")
        return data

    def shown_columns(self) -> list[ShownColumn]:
        """The columns in their order, each with its boxes."""
        return [
            ShownColumn(
                each,
                self[f"column-{each.index}"],
                self[f"unit-{each.index}"] if f"unit-{each.index}" in self.fields else None,
                self[f"order-{each.index}"] if f"order-{each.index}" in self.fields else None,
            )
            for each in self.guesses
        ]

    def answers(self) -> SheetAnswers:
        """What a valid form says."""
        data = self.cleaned_data
        return SheetAnswers(
            columns=self._by_heading("column", data, blank=True),
            units=self._by_heading("unit", data),
            orders=self._by_heading("order", data),
            stage=data["stage"],
            **{name: data[name] for name in _TICKS},
        )

    def _by_heading(self, name: str, data: Mapping[str, Any], *, blank: bool = False) -> dict[str, str]:
        said = {folded(each.heading): data.get(f"{name}-{each.index}") or "" for each in self.guesses}
        return {heading: value for heading, value in said.items() if value or blank}


_TICKS = ("make_sites", "make_dives", "make_places", "show_visitors", "unread_into_notes")


class PicturesForm(HouseForm):
    """Where the pictures lie that rows name: a zip, or a folder on this machine."""

    zip = forms.FileField(
        label="A zip of the pictures",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
        help_text="Up to 80 MB.",
    )
    folder = forms.CharField(
        label="Or a folder on this machine",
        required=False,
        max_length=PATH_LENGTH,
        help_text="Write the whole way. Only pictures that rows name are taken, and none is moved.",
    )

    def __init__(self, request: HttpRequest) -> None:
        posted = request.method == "POST" and request.path.endswith("/pictures/")
        super().__init__(request.POST if posted else None, request.FILES if posted else None)
        self.skipped = bool(getattr(request, "too_large", []))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.skipped:
            self.errors.pop("zip", None)
            self.add_error("zip", SHEET_TOO_LARGE)
        elif bool(data.get("zip")) == bool((data.get("folder") or "").strip()) and not self.errors:
            self.add_error("zip", "Choose a zip, or write a folder: one of the two.")
        return data
