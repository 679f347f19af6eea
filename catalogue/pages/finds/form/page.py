"""The page of the form."""

import secrets
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.pages.parts.already import kept_lately
from catalogue.pages.parts.suggest import known_names
from catalogue.photos.services.uploads import Picked
from catalogue.specimens.models import Specimen

from .answer import answer_to
from .problems import problems_in
from .sections import sections_of
from .sheet import Sheet
from .stamp import Meanwhile, stamp_of

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
    stamp = stamp_of(find) if find.pk else ""
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
        "opened": (request.POST.get("opened") if tried else "") or stamp,
        "seen": stamp,
        "once": request.POST.get("once") or secrets.token_urlsafe(12),
        "kept": " ".join(kept_lately(request)),
        "known_names": known_names(),
    }
    return render(request, "pages/finds/form/form.html", context, status=NOT_SAVED if tried else 200)


def asks_making(request: HttpRequest, sheet: Sheet) -> bool:
    """Whether the questions about its making are in the page already, instead of coming when wanted."""
    return sheet.features.is_bound or bool(sheet.start.seen) or request.POST.get("act") == QUESTIONS
