"""Date a bottle in hand: all at once, or one question at a time."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

import dating
from catalogue.common.words import GAP_WORDS
from catalogue.pages.parts.choices import (
    LIP_SHAPE,
    SHAPES_AT_ONCE,
    FeatureGroup,
    groups_in_order,
    lip_questions,
    regions,
)
from catalogue.pages.parts.dated import Dated, of_finding
from catalogue.pages.parts.evidence_query import (
    KNOWN_KEYS,
    MOST_KNOWN,
    KnownRead,
    QueryEvidence,
    read_query,
)
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.looks import looks_shown
from catalogue.specimens.models.words import Certainty, Contents
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.value import IN_ADDRESS, NONE, SIDES, arrangements, frames, symbols
from catalogue.specimens.tables import current_reference
from dating.copies import COPIES
from dating.tables import LIP, Feature

from .links import chips, more, question_of, with_value, without

MOST_MAKERS = 3
LEAST_NAMED = 0.01
UNKNOWN_MAKER = "a mark not in the tables"
BLANK_ROWS = 2
WHICH_LOOK = "ask"  # which of the looks worth taking is asked, counted from the first
MARK_ASIDE = "mark"  # the question of a mark, put aside
# What else hides behind a heading, so that it is found.
HOLDS = {
    "label": "a painted label, its ghost, a bar code, a ZIP code or two-letter state in an address",
    "inscription": "a law, a permit, a deposit, a patent or a registered design named on it",
    "capacity": "a size stated on it that laws or trades fixed",
}


@dataclass(frozen=True, slots=True)
class AnswerGroup:
    """One question of the form; `further` are the answers that come at a touch."""

    group: FeatureGroup
    ask: str
    rows: tuple[tuple[Feature, bool], ...]
    further: tuple[tuple[Feature, bool], ...] = ()

    @property
    def chosen(self) -> str:
        return ", ".join(feature.term for feature, chosen in (*self.rows, *self.further) if chosen)


@require_safe
def date_a_bottle(request: HtmxRequest) -> HttpResponse:
    """The page, or for a live change only its answer."""
    reference = current_reference()
    read = read_query(request.GET, reference, timezone.localdate().year)
    answer, finding = _answer(read, reference)
    looks = looks_shown(finding.look_next) if finding else ()
    answer.copies = [replace(copy, tick=more(request.GET, "f", copy.id)) for copy in answer.copies]
    query = request.GET.copy()
    asked = _place_typed(query)
    questions = [question_of(look, query, reference, finding) for look in looks]
    said = chips(query, read, reference)
    one = "one" in query
    context = {
        "answer": answer,
        "evidence": read,
        # of a town, or of what no mark fits, the reasons have said all
        "makers": [] if answer.misplaced else likely_makers(answer.marks),
        "chips": said,
        "mark": mark_drawing(read.mark) if read.mark.was_read else "",
        "questions": questions,
        "question": questions[asked % len(questions)] if questions else None,
        "another": with_value(query, WHICH_LOOK, (asked + 1) % len(questions)) if len(questions) > 1 else "",
        "one": one,
        # before anything else is said, the mark: it tells most
        "asks_mark": one and not said and not read.cannot_tell,
        "no_mark": more(query, "skip", MARK_ASIDE),
        "query": query.urlencode(),
        "all_query": without(query, "one").removeprefix("?"),
        "carried": [(k, v) for k, vs in query.lists() if k not in IN_ADDRESS for v in vs],
    }
    if request.htmx:
        return render(request, "pages/date/answer.html", context)
    if not one:
        context |= form_context(request, read, reference, finding.copies if finding else ())
    return render(request, "pages/date/date.html", context)


def _place_typed(query: QueryDict) -> int:
    """Which question the address asks for; taken out of it, since an answer begins with the first again."""
    typed = query.pop(WHICH_LOOK, ["0"])[0]
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 3 else 0


def _answer(read: QueryEvidence, reference: dating.Reference) -> tuple[Dated, dating.Finding | None]:
    try:
        case = dating.Case.from_dict(read.case, reference)
        finding = dating.assess(case, reference, look_next=True)
    except dating.CaseError as error:
        return Dated(words="not yet dated", trouble=f"{error}."), None
    return of_finding(finding, catalogue_axis()), finding


def likely_makers(marks: Sequence[dating.MarkShare]) -> list[tuple[str, float]]:
    """The likeliest makers, each with its chance, marks of one maker together; none where none is known."""
    chances: dict[str, float] = {}
    for mark in marks:
        name = mark.maker or UNKNOWN_MAKER
        chances[name] = chances.get(name, 0.0) + mark.probability
    ranked = sorted(chances.items(), key=lambda pair: (-pair[1], pair[0]))
    named = [(name, chance) for name, chance in ranked[:MOST_MAKERS] if chance >= LEAST_NAMED]
    return [] if [name for name, _ in named] == [UNKNOWN_MAKER] else named


def form_context(
    request: HtmxRequest,
    read: QueryEvidence,
    reference: dating.Reference,
    copies: Sequence[dating.Reproduction],
) -> dict[str, object]:
    """The context of the form."""
    return {
        "groups": list(answers(read, reference, copies)),
        "frames": frames(),
        "symbols": symbols(reference.symbols),
        "arrangements": arrangements(),
        "regions": regions(),
        "contents": [("", GAP_WORDS), *((v, w) for v, w in Contents.choices if v in reference.contents)],
        "certainties": Certainty.choices,
        "sides": [
            {
                "name": side,
                "words": words,
                "value": request.GET.get(side, ""),
                "none": side in request.GET.getlist(NONE),
            }
            for side, words in SIDES.items()
        ],
        "known": known_rows(read),
        "given": request.GET,
    }


def answers(
    read: QueryEvidence, reference: dating.Reference, copies: Sequence[dating.Reproduction]
) -> list[AnswerGroup]:
    """The questions with their answers; rows of another region than the bottle's are not offered.

    The signs of a copy are asked only of these copies, those of what was said already.
    """
    region = str(read.case.get("region", ""))
    copied = {copy.id for copy in copies}
    out = []
    for group in groups_in_order(list(reference.groups)):
        offered = [
            feature
            for feature in reference.groups[group.key]
            if feature.id in read.features or _fits(feature, region, copied, reference)
        ]
        for each, features in lip_questions(offered) if group.key == LIP else [(group, offered)]:
            rows = tuple((feature, feature.id in read.features) for feature in features)
            at_once = SHAPES_AT_ONCE if each is LIP_SHAPE else len(rows)
            if rows:
                ask = HOLDS.get(each.key, each.ask)
                out.append(AnswerGroup(each, ask, rows[:at_once], rows[at_once:]))
    return out


def _fits(feature: Feature, region: str, copied: Collection[str], reference: dating.Reference) -> bool:
    if feature.group == COPIES:
        return feature.id in copied
    return reference.variants.offered(feature, region, None)


def known_rows(read: QueryEvidence) -> list[KnownRead]:
    """What was said of years, and rows that wait."""
    taken = {known.number for known in read.known}
    free = [n for n in range(1, MOST_KNOWN + 1) if n not in taken][: BLANK_ROWS if not taken else 1]
    rows = [*read.known, *(KnownRead(n, dict.fromkeys(KNOWN_KEYS, "")) for n in free)]
    return sorted(rows, key=lambda row: row.number)
