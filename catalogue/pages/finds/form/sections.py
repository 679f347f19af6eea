"""The parts of the page that open when wanted: which have an error, and what each holds in a few words."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.forms import BoundField

from catalogue.common.forms.rows import RowForm

from .find_form import SIZES
from .sheet import KNOWN, LETTERING, READINGS, Sheet

COLUMNS = {
    "trade": ("town", "bottler", "product", "contents", "region"),
    "making": ("colour",),
    "sizes": SIZES,
    "plan": ("look", "stage", "place", "new_place"),
    "lie": ("where_on_site", "depth_m", "lie", "found_with"),
    "notes": ("notes", "story", "field_tag", "older_numbers"),
}
ROWS = {"base": READINGS, "lettering": LETTERING, "known": KNOWN}
LONGEST = 70


@dataclass(frozen=True, slots=True)
class Section:
    """Whether it stands open, and the words beside its title."""

    open: bool
    note: str


def sections_of(sheet: Sheet) -> dict[str, Section]:
    """Every section of the page by name. One with an error is open; so is one that was just filled in."""
    return {name: _section(sheet, name) for name in (*ROWS, *COLUMNS)}


def _section(sheet: Sheet, name: str) -> Section:
    if name in ROWS:
        rows = sheet.sets[ROWS[name]]
        wrong = rows.is_bound and (rows.total_error_count() > 0)
        note = _words(_of_rows(rows))
        return Section(wrong or (rows.is_bound and bool(note)), note)
    form = sheet.find_form
    wrong = bool(set(COLUMNS[name]) & set(form.errors)) if form.is_bound else False
    held = [_shown(form[field]) for field in COLUMNS[name] if field != "stage"]
    if name == "making":
        held += [question.answered for question in sheet.features.questions()]
        wrong = wrong or (sheet.features.is_bound and bool(sheet.features.errors))
    note = _words(held)
    return Section(wrong or (form.is_bound and bool(note)), note)


def _of_rows(rows: Iterable[RowForm]) -> list[str]:
    """Each row in the few words that tell it apart."""
    return [
        " ".join(filter(None, (str(form[name].value() or "").strip() for name in form.told))) for form in rows
    ]


def _shown(bound: BoundField) -> str:
    """A field's value in words."""
    value = str(bound.value() or "").strip()
    labels = {str(key): str(label) for key, label in getattr(bound.field, "choices", ())}
    label = labels.get(value, value)
    # A label with a drawing in it: its value is a plain word as well.
    return value if "<svg" in label or not value else label


def _words(parts: Iterable[str]) -> str:
    text = ", ".join(part for part in parts if part)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1].rstrip(' ,')}…"
