"""Date a bottle: all at once, or one question at a time."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

import dating
from catalogue.desk.find.dated import Dated, of_finding
from catalogue.desk.record.choices import arrangements, frames, regions, symbols
from catalogue.desk.record.groups import in_order
from catalogue.specimens.models.words import Contents
from catalogue.specimens.tables import current_reference

from .mark_said import SIDES
from .query import Said, said
from .said_words import WHERE, chips, drawn_mark, question_of

CERTAINTIES = (("certain", "certain"), ("probable", "probable"), ("doubtful", "doubtful"))


@require_safe
def date_a_bottle(request: HttpRequest) -> HttpResponse:
    """The page, or for a live change only its answer."""
    reference = current_reference()
    spoken = said(request.GET, reference, timezone.localdate().year)
    answer, looks = _answer(spoken, reference)
    one = "one" in request.GET
    context = {
        "answer": answer,
        "said": spoken,
        "chips": chips(request.GET, spoken, reference),
        "mark": drawn_mark(spoken),
        "questions": [question_of(look, request.GET, reference) for look in looks],
        "one": one,
        "query": request.GET.urlencode(),
    }
    if request.htmx:
        return render(request, "desk/dating_page/answer.html", context)
    if not one:
        context |= _form(request, spoken, reference)
    return render(request, "desk/dating_page/date.html", context)


def _answer(spoken: Said, reference: dating.Reference) -> tuple[Dated, tuple[dating.Look, ...]]:
    try:
        case = dating.Case.from_dict(spoken.case, reference)
        finding = dating.assess(case, reference, look_next=True)
    except dating.CaseError as error:
        return Dated(words="not yet dated", trouble=f"{error}."), ()
    return of_finding(finding), finding.look_next[:3]


def _form(request: HttpRequest, spoken: Said, reference: dating.Reference) -> dict[str, object]:
    groups = []
    for group in in_order(list(reference.groups)):
        rows = [
            {"feature": feature, "chosen": feature.id in spoken.features}
            for feature in reference.groups[group.key]
        ]
        groups.append({"group": group, "rows": rows, "n": sum(row["chosen"] for row in rows)})
    return {
        "groups": groups,
        "frames": frames(),
        "symbols": symbols(reference.symbols),
        "arrangements": arrangements(),
        "regions": regions(),
        "contents": [("", "not known"), *((v, w) for v, w in Contents.choices if v in reference.contents)],
        "certainties": CERTAINTIES,
        "sides": [
            {
                "name": side,
                "words": WHERE[side],
                "value": request.GET.get(side, ""),
                "none": side in request.GET.getlist("none"),
            }
            for side in SIDES
        ],
        "given": request.GET,
    }
