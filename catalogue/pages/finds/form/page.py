"""The record form's page, with an error summary: what keeps it from being saved, each with its field."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.common.forms.idempotency_key import kept_forms, key_of, new_key
from catalogue.common.forms.optimistic_lock import Meanwhile, version_of
from catalogue.pages.parts.suggest import known_names
from catalogue.photos.services.uploads import Picked
from catalogue.specimens.models import Specimen

from .answer import answer_to
from .sections import sections_of
from .sheet import Sheet

NOT_SAVED = 422
QUESTIONS = "questions"


def show(
    request: HttpRequest,
    sheet: Sheet,
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
        "once": key_of(request) or new_key(),
        "kept": " ".join(kept_forms(request)),
        "known_names": known_names(),
    }
    return render(request, "pages/finds/form/form.html", context, status=NOT_SAVED if tried else 200)


def asks_making(request: HttpRequest, sheet: Sheet) -> bool:
    """Whether the questions about its making are in the page already, instead of coming when wanted."""
    return sheet.features.is_bound or bool(sheet.start.seen) or request.POST.get("act") == QUESTIONS


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence, and the id of the field it is about."""

    at: str
    label: str
    why: str


def problems_in(sheet: Sheet, picked: Picked) -> list[Problem]:
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
        why = " ".join(errors)
        if name == "__all__":
            yield Problem("", title, why)
        else:
            bound = form[name]
            at = bound.id_for_label or bound.auto_id
            yield Problem(at, f"{title}, {bound.label.lower()}" if title else bound.label, why)
