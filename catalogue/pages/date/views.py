"""Date a bottle: all at once, or one question at a time."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

import dating
from catalogue.pages.parts.dated import Dated, of_finding
from catalogue.pages.parts.evidence_query import Said, said
from catalogue.pages.parts.mark_said import MARK_KEYS
from catalogue.pages.parts.said_words import chips, drawn_mark
from catalogue.specimens.tables import current_reference

from .form import form_of
from .questions import question_of
from .whose import whose

MOST_QUESTIONS = 3


@require_safe
def date_a_bottle(request: HttpRequest) -> HttpResponse:
    """The page, or for a live change only its answer."""
    reference = current_reference()
    spoken = said(request.GET, reference, timezone.localdate().year)
    answer, finding = _answer(spoken, reference)
    looks = finding.look_next[:MOST_QUESTIONS] if finding else ()
    one = "one" in request.GET
    context = {
        "answer": answer,
        "said": spoken,
        "whose": whose(answer.marks),
        "chips": chips(request.GET, spoken, reference),
        "mark": drawn_mark(spoken),
        "questions": [question_of(look, request.GET, reference, finding) for look in looks],
        "one": one,
        "query": request.GET.urlencode(),
        "carried": [(k, v) for k, vs in request.GET.lists() if k not in MARK_KEYS for v in vs],
    }
    if request.htmx:
        return render(request, "pages/date/answer.html", context)
    if not one:
        context |= form_of(request, spoken, reference)
    return render(request, "pages/date/date.html", context)


def _answer(spoken: Said, reference: dating.Reference) -> tuple[Dated, dating.Finding | None]:
    try:
        case = dating.Case.from_dict(spoken.case, reference)
        finding = dating.assess(case, reference, look_next=True)
    except dating.CaseError as error:
        return Dated(words="not yet dated", trouble=f"{error}."), None
    return of_finding(finding), finding
