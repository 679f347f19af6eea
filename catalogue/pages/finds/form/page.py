"""The record form's page: the dating answer beside it, its sections, and an error summary,
each error with its field."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from django.forms import BaseForm, BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.forms.composite import RowForm
from catalogue.common.forms.idempotency_key import key_to_show
from catalogue.common.forms.optimistic_lock import Meanwhile, version_of
from catalogue.pages.parts.suggest import known_names
from catalogue.photos.models import Photo
from catalogue.photos.queries import first_role
from catalogue.photos.services.uploads import Picked
from catalogue.specimens import clock
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.value import SIDES
from catalogue.specimens.services import date_evidence
from catalogue.specimens.tables import SHOWN_FROM, current_reference
from dating.ranking import likeliest_maker, maker_shares

from .dive_form import UNKNOWN_DIVE, WhichDiveForm
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
        "hazards": sheet.hazards_form,
        "sections": sections_of(sheet),
        "questions": list(sheet.features.questions()) if asks_making(request, sheet) else [],
        "asked": request.POST.get("act") == QUESTIONS,
        "answer": answer,
        "picked": picked,
        "first_role": role_of_pictures(sheet),
        "find": find if find.pk else None,
        "like": like,
        "carried": sheet.start.carried,
        "problems": problems_in(sheet, picked) if tried else [],
        "meanwhile": meanwhile,
        "opened": (request.POST.get("opened") if tried else "") or version,
        # While it lies in the bin nothing was compared: what others changed is still to be said.
        "seen": sheet.version if sheet.find_form.in_bin else version,
        "once": key_to_show(request),
        "known_names": known_names(),
        "clock": None if find.pk else clock.doubt(),
    }
    return render(request, "pages/finds/form/form.html", context, status=NOT_SAVED if tried else 200)


def role_of_pictures(sheet: RecordSheet) -> Photo.Role:
    """What pictures added with the form most likely show; of a new find by whether it has a dive."""
    find = sheet.start.find
    if find.pk:
        return first_role(find, cleaned=find.treatments.exists())
    from_dive = sheet.dive_form["pick"].value() != UNKNOWN_DIVE
    return Photo.Role.AS_FOUND if from_dive else Photo.Role.DETAIL


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
    for part in (sheet.find_form, sheet.dive_form, sheet.hazards_form):
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
    "trade": ("kind", "town", "bottler", "product", "contents", "region"),
    "making": ("colour",),
    "sizes": SIZES,
    "plan": ("stage", "look", "place", "new_place"),
    "lie": ("where_on_site", "depth_m", "lie", "found_with"),
    "notes": ("notes", "story", "field_tag", "older_numbers"),
}
ROWS = {"base": READINGS, "lettering": LETTERING, "known": KNOWN}
IN_ORDER = (*ROWS, *FORM_COLUMNS)
LONGEST_SUMMARY = 70


@dataclass(frozen=True, slots=True)
class Section:
    """Whether it stands open, and the words beside its title."""

    open: bool
    note: str


def sections_of(sheet: RecordSheet) -> dict[str, Section]:
    """Every section of the page by name. One with an error is open; so is one that was just filled in."""
    return {"came_up": _came_up(sheet.dive_form), **{name: _section(sheet, name) for name in IN_ORDER}}


def _came_up(form: WhichDiveForm) -> Section:
    fields = form.BLOCKS[UNKNOWN_DIVE]
    note = _words(_shown(form[name]) for name in fields)
    return Section(form.is_bound and bool(note or set(fields) & set(form.errors)), note)


def _section(sheet: RecordSheet, name: str) -> Section:
    if name in ROWS:
        rows = sheet.sets[ROWS[name]]
        wrong = rows.is_bound and (rows.total_error_count() > 0)
        note = _words(_of_rows(rows))
        return Section(wrong or (rows.is_bound and bool(note)), note)
    form = sheet.find_form
    wrong = bool(set(FORM_COLUMNS[name]) & set(form.errors)) if form.is_bound else False
    held = [_shown(form[field]) for field in FORM_COLUMNS[name]]
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


MAKERS_SHOWN = 3
MAKER_FROM = 0.05


@dataclass(slots=True)
class AnswerStrip:
    """What the page shows; `problem` is a sentence where something typed can't be read yet."""

    words: str = "not yet dated"
    age: str = ""
    peak: str = ""
    ruler: SafeString = mark_safe("")
    makers: list[tuple[str, float, bool]] = field(default_factory=list)
    opinion: str = ""
    hint: str = ""
    disagree: list[str] = field(default_factory=list)
    marks: list[SafeString] = field(default_factory=list)
    left_out: int = 0
    problem: str = ""


def answer_to(sheet: RecordSheet) -> AnswerStrip:
    """Date what is filled in so far. Nothing typed makes it raise: it says what it left out."""
    evidence = sheet.evidence()
    answer = AnswerStrip(
        left_out=_left_out(sheet), marks=[mark_drawing(reading) for reading in evidence.readings]
    )
    reference = current_reference()
    try:
        finding = date_evidence(evidence, reference=reference)
    except dating.CaseError as refused:
        answer.problem = f"Not dated yet: {refused.message}."
        return answer
    answer.words, answer.age, answer.peak = finding.words, finding.age_words, finding.peak_words
    answer.ruler = _ruler(finding)
    answer.makers = _makers(finding)
    answer.opinion = evidence.maker_opinion.name if evidence.maker_opinion else ""
    answer.hint = code_hint(evidence, finding, reference)
    clashes = [finding.corrected] if finding.corrected else [clash.why for clash in finding.conflicts]
    answer.disagree = [*finding.misplaced, *clashes]
    return answer


def _left_out(sheet: RecordSheet) -> int:
    """How many rows with an error the answer does without."""
    return sum(bool(form.errors) for rows in sheet.sets.values() if rows.is_bound for form in rows.forms)


def _makers(finding: dating.Finding) -> list[tuple[str, float, bool]]:
    """The makers that it may be, the likeliest first, each with whether that is likely enough to show."""
    ranked = maker_shares(finding)[:MAKERS_SHOWN]
    agreed = likeliest_maker(finding) is not None
    return [
        (row.name, row.share, agreed and row.share >= SHOWN_FROM) for row in ranked if row.share >= MAKER_FROM
    ]


def _ruler(finding: dating.Finding) -> SafeString:
    """The ruler of an answer, on the axis opened for it, none while nothing is known; texts are escaped."""
    if not finding.because:
        return mark_safe("")
    curve = list(enumerate(finding.posterior, start=finding.axis[0]))
    window = (finding.window[0], finding.window[1]) if finding.window else (None, None)
    years = list(finding.years) if finding.years else None
    axis = catalogue_axis().holding(curve, window=window, years=years or ())
    return mark_safe(small_ruler(axis, curve=curve, years=years, window=window, words=finding.words))


CODE_PLACES = {**SIDES, "heel": "on the heel"}
EXAMPLE = {"last-digit": "7", "last-two-digits": "37", "full-year": "1937"}


def code_hint(evidence: Evidence, finding: dating.Finding, reference: dating.Reference) -> str:
    """One sentence where the likely maker dated its ware and no character beside its mark is filled in."""
    likeliest = next(iter(maker_shares(finding)), None)
    if likeliest is None or likeliest.share < SHOWN_FROM or _any_side(evidence):
        return ""
    codes = [code for code in reference.codes_of.get(likeliest.mark_id, ()) if code.kind in EXAMPLE]
    if not codes:
        return ""
    example = EXAMPLE[codes[0].kind]
    would = dating.what_would(
        example,
        codes,
        contents=evidence.find.contents or None,
        bottler=evidence.bottler.name if evidence.bottler else None,
        product=evidence.find.product.name if evidence.find.product else None,
        region=evidence.find.region or None,
    )
    where = "" if codes[0].position == "any" else f" {CODE_PLACES.get(codes[0].position, codes[0].position)}"
    if not would.years:
        return f"Look{where or ' beside the mark'}: this maker put a year there."
    return f"Look beside the mark: {example}{where} would be {would.words}."


def _any_side(evidence: Evidence) -> bool:
    return any(any(reading.beside.values()) for reading in evidence.readings)
