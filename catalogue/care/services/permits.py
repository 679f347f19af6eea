"""Authorisation guard: every act with a piece passes here first and asks what its hazards say."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction

from catalogue.care.acts import ASKED_EACH_TIME, WARNED, Act
from catalogue.care.models import HazardReason
from catalogue.care.piece_facts import Knowledge, knowledge_as_read, knowledge_of
from catalogue.common.limits import a_few_words
from catalogue.specimens.models import Specimen


class Hazard(ValueError):
    """A hazard of the piece refuses the act; the message names both."""


class HazardAsksReason(ValueError):
    """The act is done only with a written reason, which is kept; `lines` has one sentence a piece."""

    def __init__(self, act: Act, lines: Iterable[str]) -> None:
        self.act, self.lines = act, list(lines)
        super().__init__(" ".join([*self.lines, "A written reason of a few words is needed."]))


@dataclass(frozen=True, slots=True)
class PieceAsked:
    """One of several pieces: it may, may not, or may with a reason; `typed` is what was given so far."""

    find: Specimen
    refused: bool
    wants_reason: bool
    line: str
    typed: str


class HazardAsksByPiece(ValueError):
    """Of several pieces some may not, or only with a reason; nothing is done before each is answered."""

    def __init__(self, act: Act, pieces: Iterable[PieceAsked]) -> None:
        self.act, self.pieces = act, list(pieces)
        super().__init__(" ".join(piece.line for piece in self.pieces if piece.line))


@transaction.atomic
def permit_each(finds: Iterable[Specimen], act: Act, reasons: Mapping[str, str]) -> None:
    """Let an act go ahead with all of these pieces or with none; `reasons` by the number of a piece.

    Raises HazardAsksByPiece where one is refused or has no reason of a few words where one is wanted; of one
    piece alone Hazard or HazardAsksReason, as `permit`.
    """
    finds = list(finds)
    if len(finds) < 2:
        permit(finds, act, next((reasons.get(find.number, "") for find in finds), ""))
        return
    known = knowledge_of(finds)
    answers = {pk: each.may(act) for pk, each in known.items()}
    asked = _without_reason(known, act)
    wanting = {
        pk
        for pk in asked
        if not answers[pk].refused and not a_few_words(reasons.get(known[pk].find.number, ""))
    }
    if wanting or any(answer.refused for answer in answers.values()):
        raise HazardAsksByPiece(
            act,
            (
                PieceAsked(
                    each.find,
                    bool(answers[pk].refused),
                    pk in wanting or bool(reasons.get(each.find.number)),
                    _line(each, act) if answers[pk].refused or answers[pk].wants_reason else "",
                    reasons.get(each.find.number, ""),
                )
                for pk, each in known.items()
            ),
        )
    for each in asked.values():
        _keep_reason(each, act, reasons[each.find.number])


@transaction.atomic
def permit(finds: Iterable[Specimen], act: Act, reason: str = "") -> dict[int, Knowledge]:
    """Let an act go ahead with these pieces, and keep the reason where a hazard wants one.

    Answers what is known of each, by key.

    A reason that was kept for the same act and hazards holds on, but for what is asked each time. Raises
    Hazard where the table refuses, HazardAsksReason where there is no reason of a few words. Six queries for
    any number of pieces.
    """
    known = knowledge_of(finds)
    refused = [_line(each, act) for each in known.values() if each.may(act).refused]
    if refused:
        raise Hazard(" ".join(refused))
    asked = _without_reason(known, act)
    if asked and not a_few_words(reason):
        raise HazardAsksReason(act, (_line(each, act) for each in asked.values()))
    for each in asked.values():
        _keep_reason(each, act, reason)
    return known


@dataclass(frozen=True, slots=True)
class HazardAnswer:
    """What the hazards of one of very many pieces say to an act, before anything is done.

    `gates` want a written reason that is not on record yet; `words` name what refuses, or wants it.
    """

    refused: bool
    gates: tuple[str, ...]
    words: str
    warned: str


def hazard_answers(finds: Sequence[Specimen], act: Act) -> dict[int, HazardAnswer]:
    """What `permit` would say of those that some hazard speaks against or warns of, by key.

    The finds were just read, each with its sites. Five queries for any number of pieces.
    """
    known = knowledge_as_read(finds)
    answers = {pk: answer for pk, each in known.items() if (answer := each.may(act)).objections}
    asked = _without_reason({pk: known[pk] for pk in answers}, act)
    return {
        pk: HazardAnswer(
            bool(answer.refused),
            tuple(sorted(_wanted(known[pk], act))) if pk in asked else (),
            _words(known[pk], act),
            "; ".join(objection.words for objection in answer.of(WARNED)),
        )
        for pk, answer in answers.items()
    }


def keep_reasons(finds: Sequence[Specimen], act: Act, reasons: Mapping[str, str]) -> list[HazardReason]:
    """Keep the reason with each piece that wants one; `reasons` by its gates, joined by dots.

    Raises HazardAsksReason where one is missing, Hazard where an act is refused: nothing may have changed
    since `hazard_answers` was asked.
    """
    answers = hazard_answers(finds, act)
    if refused := [find.number for find in finds if find.pk in answers and answers[find.pk].refused]:
        raise Hazard(f"{', '.join(refused[:6])}: refused.")
    wanting = [find for find in finds if find.pk in answers and answers[find.pk].gates]
    given = {find.pk: reasons.get(".".join(answers[find.pk].gates), "") for find in wanting}
    if missing := [find for find in wanting if not a_few_words(given[find.pk])]:
        raise HazardAsksReason(act, (f"{find.number}, {answers[find.pk].words}." for find in missing[:6]))
    return HazardReason.objects.bulk_create(
        HazardReason(find=find, act=act, gates=list(answers[find.pk].gates), reason=given[find.pk].strip())
        for find in wanting
    )


def must_not_dry(find: Specimen) -> None:
    """Raises Hazard for a piece that is left alone: it stays as wet as it is."""
    known = knowledge_of([find])[find.pk]
    if known.leave_alone:
        raise Hazard(_line(known, Act.TOOLS))


def _without_reason(known: Mapping[int, Knowledge], act: Act) -> dict[int, Knowledge]:
    """The pieces that want a reason for this act, and have none on record for these hazards."""
    asked = {pk: each for pk, each in known.items() if each.may(act).wants_reason}
    if asked and act not in ASKED_EACH_TIME:
        for kept in HazardReason.objects.filter(find__in=asked, act=act):
            if kept.find_id in asked and _wanted(asked[kept.find_id], act) <= set(kept.gates):
                del asked[kept.find_id]
    return asked


def _keep_reason(known: Knowledge, act: Act, reason: str) -> None:
    gates = sorted(_wanted(known, act))
    HazardReason.objects.create(find=known.find, act=act, gates=gates, reason=reason.strip())


def _wanted(known: Knowledge, act: Act) -> set[str]:
    return {each.gate.key for each in known.may(act).wants_reason}


def _line(known: Knowledge, act: Act) -> str:
    """One sentence: "2026.3.4, sealed: it may hold pressure …"."""
    return f"{known.find.number}, {_words(known, act)}."


def _words(known: Knowledge, act: Act) -> str:
    """What refuses the act, else what wants a reason; empty where nothing does."""
    answer = known.may(act)
    return "; ".join(each.words for each in answer.refused or answer.wants_reason)
