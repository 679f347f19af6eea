"""The record form's page, with an error summary: what keeps it from being saved, each with its field."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.forms import BaseForm, BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.common.forms.composite import RowForm
from catalogue.common.forms.idempotency_key import kept_forms, key_to_show
from catalogue.common.forms.optimistic_lock import Meanwhile, version_of
from catalogue.pages.parts.suggest import known_names
from catalogue.photos.services.uploads import Picked
from catalogue.specimens.models import Specimen

from .answer import answer_to
from .find_form import SIZES
from .sheet import KNOWN, LETTERING, READINGS, RecordSheet

NOT_SAVED = 422
QUESTIONS = "questions"


def show(
    request: HttpRequest,
    sheet: RecordSheet,
    picked: Picked,
    *,
    tried: bool = False,
    meanwhile: Meanwhile | None = None,
    like: Specimen | None = None,
) -> HttpResponse:
    """The form as it stands. `tried`: a save was asked for, so what is wrong is listed on top."""
    answer = answer_to(sheet)
    if sheet.is_bound and not tried and not sheet.find_form["what"].data:
        # Nobody asked to save yet: a name still missing is no mistake.
        sheet.find_form.errors.pop("what", None)
    find = sheet.start.find
    version = version_of(find) if find.pk else ""
    context: dict[str, Any] = {
        "sheet": sheet,
        "form": sheet.find_form,
        "dive": sheet.dive_form,
        "sections": sections_of(sheet),
        "questions": list(sheet.features.questions()) if asks_making(request, sheet) else [],
        "asked": request.POST.get("act") == QUESTIONS,
        "answer": answer,
        "picked": picked,
        "find": find if find.pk else None,
        "like": like,
        "problems": problems_in(sheet, picked) if tried else [],
        "meanwhile": meanwhile,
        "opened": (request.POST.get("opened") if tried else "") or version,
        "seen": version,
        "once": key_to_show(request),
        "kept": " ".join(kept_forms(request)),
        "known_names": known_names(),
    }
    return render(request, "pages/finds/form/form.html", context, status=NOT_SAVED if tried else 200)


def asks_making(request: HttpRequest, sheet: RecordSheet) -> bool:
    """Whether the questions about its making are in the page already, instead of coming when wanted."""
    return sheet.features.is_bound or bool(sheet.start.seen) or request.POST.get("act") == QUESTIONS


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence, and the id of the field it is about."""

    at: str
    label: str
    why: str


def problems_in(sheet: RecordSheet, picked: Picked) -> list[Problem]:
    """All of them in the order of the page."""
    found = [Problem("picture-files", "Pictures", str(failed)) for failed in picked.failed]
    for part in (sheet.find_form, sheet.dive_form):
        found += _of_form(part, "")
    for title, rows in zip(("Base", "Lettering", "Known years"), sheet.sets.values(), strict=True):
        if rows.is_bound:
            found += [Problem("", title, str(why)) for why in rows.non_form_errors()]
            for number, form in enumerate(rows.forms, 1):
                found += _of_form(form, f"{title} {number}")
    if sheet.features.is_bound:
        found += _of_form(sheet.features, "How it was made")
    return found


def _of_form(form: BaseForm, title: str) -> Iterator[Problem]:
    for name, errors in form.errors.items():
        why = " ".join(str(error) for error in errors)
        if name == "__all__":
            yield Problem("", title, why)
        else:
            bound = form[name]
            at = bound.id_for_label or bound.auto_id
            label = str(bound.label)
            yield Problem(at, f"{title}, {label.lower()}" if title else label, why)


FORM_COLUMNS = {
    "trade": ("town", "bottler", "product", "contents", "region"),
    "making": ("colour",),
    "sizes": SIZES,
    "plan": ("look", "stage", "place", "new_place"),
    "lie": ("where_on_site", "depth_m", "lie", "found_with"),
    "notes": ("notes", "story", "field_tag", "older_numbers"),
}
ROWS = {"base": READINGS, "lettering": LETTERING, "known": KNOWN}
LONGEST_SUMMARY = 70


@dataclass(frozen=True, slots=True)
class Section:
    """Whether it stands open, and the words beside its title."""

    open: bool
    note: str


def sections_of(sheet: RecordSheet) -> dict[str, Section]:
    """Every section of the page by name. One with an error is open; so is one that was just filled in."""
    return {name: _section(sheet, name) for name in (*ROWS, *FORM_COLUMNS)}


def _section(sheet: RecordSheet, name: str) -> Section:
    if name in ROWS:
        rows = sheet.sets[ROWS[name]]
        wrong = rows.is_bound and (rows.total_error_count() > 0)
        note = _words(_of_rows(rows))
        return Section(wrong or (rows.is_bound and bool(note)), note)
    form = sheet.find_form
    wrong = bool(set(FORM_COLUMNS[name]) & set(form.errors)) if form.is_bound else False
    held = [_shown(form[field]) for field in FORM_COLUMNS[name] if field != "stage"]
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
    return text if len(text) <= LONGEST_SUMMARY else f"{text[: LONGEST_SUMMARY - 1].rstrip(' ,')}…"
