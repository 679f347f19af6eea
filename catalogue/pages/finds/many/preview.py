"""What the page of an act shows before it is done: what changes, what may not and why, what is asked."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db import transaction
from django.http import HttpRequest

from catalogue.care.batch import QUESTION
from catalogue.common.limits import NOTE_LENGTH
from catalogue.giving.batch import TOLD
from catalogue.specimens.batch.judging import Judged, PieceVerdict, judge
from catalogue.specimens.batch.piece_act import PieceQuestion
from catalogue.specimens.models import BatchAct, Specimen
from catalogue.specimens.models.words import Standing
from catalogue.specimens.queries import grounds_by_find

from .menu import MenuAct

NAMED_ONE_BY_ONE = 24  # pieces named one by one in a group
MOST_REASONS = 40


@dataclass(slots=True)
class PieceGroup:
    """Pieces of which the same is said."""

    words: str
    finds: list[Specimen] = field(default_factory=list)
    count: int = 0

    @property
    def more(self) -> int:
        return self.count - len(self.finds)

    def add(self, find: Specimen) -> None:
        """One piece more; only the first are named."""
        self.count += 1
        if len(self.finds) < NAMED_ONE_BY_ONE:
            self.finds.append(find)


@dataclass(slots=True)
class AskedGroup:
    """A question, the pieces it is asked of, what was answered, and whether that is too little."""

    question: PieceQuestion
    pieces: PieceGroup
    answer: str
    wrong: bool


@dataclass(slots=True)
class ActPreview:
    """All that the page says of it."""

    judged: Judged
    target: str
    changes: list[PieceGroup]
    refused: list[PieceGroup]
    asked: list[AskedGroup]
    notes: list[PieceGroup]
    hidden_reasons: int

    @property
    def good(self) -> int:
        return len(self.judged.good)

    @property
    def count(self) -> int:
        return len(self.judged.verdicts)

    @property
    def same(self) -> int:
        return len(self.judged.same)

    @property
    def all_may(self) -> bool:
        """Whether nothing is left out but what is so already."""
        return not (self.judged.refused or self.judged.waiting or self.judged.gone)


def answers_given(request: HttpRequest) -> dict[str, str]:
    """What was written or ticked for the questions of the preview."""
    sent = request.POST if request.method == "POST" else request.GET
    return {key: sent[key].strip()[:NOTE_LENGTH] for key in sent if key == TOLD or key.startswith(QUESTION)}


def preview_of(request: HttpRequest, batch: BatchAct, menu: MenuAct, form: object) -> ActPreview:
    """What the act would do with each. A name that is new is written to see, and taken back."""
    answers = answers_given(request)
    if menu.tries:
        with transaction.atomic():
            act = menu.make(form, False)
            judged = judge(act, batch.finds, answers=answers)
            transaction.set_rollback(True)
    else:
        act = menu.make(form, False)
        judged = judge(act, batch.finds, answers=answers)
    return shown(judged, act.target, tried=request.method == "POST")


def shown(judged: Judged, target: str, *, tried: bool) -> ActPreview:
    """Verdicts in groups. One query, for the grounds where pieces are given."""
    going = [v for v in judged.verdicts if not v.refused and not v.same]
    refused = _groups((v.refused, v.find) for v in judged.refused)
    notes = _groups((v.note, v.find) for v in going if v.note)
    if str(Standing.FREE.label) == target or target.startswith("promised to "):
        notes += _grounds(going)
    asked = [
        AskedGroup(
            question,
            _groups((question.words, v.find) for v in verdicts if not v.refused)[0],
            answer := judged.answers.get(question.key, ""),
            bool(answer or tried) and any(question in judged.unanswered(v) for v in verdicts),
        )
        for question, verdicts in judged.asked
    ]
    return ActPreview(
        judged,
        target,
        _groups((v.now, v.find) for v in going),
        refused[:MOST_REASONS],
        asked,
        notes[:MOST_REASONS],
        sum(group.count for group in refused[MOST_REASONS:]),
    )


def _groups(said: Iterable[tuple[str, Specimen]]) -> list[PieceGroup]:
    groups: dict[str, PieceGroup] = {}
    for words, find in said:
        groups.setdefault(words, PieceGroup(words)).add(find)
    return sorted(groups.values(), key=lambda group: -group.count)


def _grounds(verdicts: list[PieceVerdict]) -> list[PieceGroup]:
    """On what grounds they were taken, where that is to be minded when they are given away."""
    finds = [verdict.find for verdict in verdicts]
    grounds = grounds_by_find(finds)
    return _groups(
        (grounds[find.pk].caution(str(find.where_found or ""))[0], find)
        for find in finds
        if grounds[find.pk].cautioned
    )
