"""What an act would do with each of many finds: done, refused and why, asked about, or so already."""

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field

from catalogue.common.limits import a_few_words
from catalogue.specimens.batch.piece_act import LOADED, PieceAct, PieceObjection, PieceQuestion
from catalogue.specimens.derived.batches import BATCH
from catalogue.specimens.models import Specimen

IN_BIN = "it is in the bin"
GONE = "it was deleted for good"


@dataclass(slots=True)
class PieceVerdict:
    """What the act would do with one piece."""

    find: Specimen
    now: str
    refused: str = ""
    same: bool = False
    questions: tuple[PieceQuestion, ...] = ()
    note: str = ""


@dataclass(slots=True)
class Judged:
    """All verdicts in the order of choice; `answers` by the key of a question."""

    verdicts: list[PieceVerdict] = field(default_factory=list)
    answers: Mapping[str, str] = field(default_factory=dict)
    gone: int = 0

    def unanswered(self, verdict: PieceVerdict) -> list[PieceQuestion]:
        """What is asked of a piece and not answered yet."""
        return [q for q in verdict.questions if not is_answered(q, self.answers.get(q.key, ""))]

    @property
    def good(self) -> list[PieceVerdict]:
        """Those that it would be done with."""
        return [v for v in self.verdicts if not v.refused and not v.same and not self.unanswered(v)]

    @property
    def refused(self) -> list[PieceVerdict]:
        """Those that it may not be done with, whatever is answered."""
        return [v for v in self.verdicts if v.refused]

    @property
    def same(self) -> list[PieceVerdict]:
        return [v for v in self.verdicts if v.same]

    @property
    def asked(self) -> list[tuple[PieceQuestion, list[PieceVerdict]]]:
        """Each question with the pieces that it is asked of, answered or not."""
        found: dict[PieceQuestion, list[PieceVerdict]] = {}
        for verdict in self.verdicts:
            for question in verdict.questions:
                found.setdefault(question, []).append(verdict)
        return list(found.items())

    @property
    def waiting(self) -> list[PieceVerdict]:
        """Those that only want an answer."""
        return [v for v in self.verdicts if not v.refused and not v.same and self.unanswered(v)]


def is_answered(question: PieceQuestion, answer: str) -> bool:
    """A tick, or a few words."""
    return bool(answer) if question.ticked else a_few_words(answer)


def judge(
    act: PieceAct,
    keys: Sequence[int],
    *,
    answers: Mapping[str, str] | None = None,
    seen: int | None = None,
    lock: bool = False,
    step: Callable[[int], None] = lambda _: None,
) -> Judged:
    """Ask the rules of the act for each piece, some queries for each five hundred.

    `seen`: the latest entry of the finds' history when the page was shown: what was edited since is refused.
    `lock`: hold the rows until the caller's transaction ends. `step` is told how many are judged.
    """
    judged = Judged(answers=answers or {})
    for part in in_parts(keys):
        found = load(act, part, lock=lock)
        judged.gone += len(part) - len(found)
        finds = [found[key] for key in part if key in found]
        edited = edited_since(finds, act.column, seen) if act.overwrites and act.column else set()
        open_ones = [find for find in finds if not find.binned_at and find.pk not in edited]
        # asked of what would change alone: what is so already needs no permit
        would = [find for find in open_ones if not act.is_so(find)]
        objections = act.objections(would) if would else {}
        act.said = {**act.said, **objections}
        for find in finds:
            judged.verdicts.append(_verdict(act, find, edited, objections))
        step(len(part))
    return judged


def _verdict(
    act: PieceAct, find: Specimen, edited: Set[int], objections: Mapping[int, PieceObjection]
) -> PieceVerdict:
    now = act.shown(find)
    if find.binned_at:
        return PieceVerdict(find, now, refused=IN_BIN)
    if find.pk in edited:
        return PieceVerdict(find, now, refused=f"another window changed this since: it is now {now}")
    said = objections.get(find.pk)
    if said is None:
        return PieceVerdict(find, now, same=act.is_so(find))
    return PieceVerdict(find, now, refused=said.refused, questions=said.questions, note=said.note)


def load(act: PieceAct, keys: Sequence[int], *, lock: bool = False) -> dict[int, Specimen]:
    """These finds, the bin included, with all that the act shows. One query, and one a table of `select`."""
    finds = Specimen.everything.filter(pk__in=keys).prefetch_related(*act.select).only(*LOADED)
    if lock:
        finds = finds.select_for_update(of=("self",))
    return {find.pk: find for find in finds.order_by()}


def in_parts(keys: Sequence[int]) -> Iterator[Sequence[int]]:
    """The keys in their order, five hundred at a time."""
    for start in range(0, len(keys), BATCH):
        yield keys[start : start + BATCH]


def latest_entry() -> int:
    """The latest entry of the finds' history: what a page was shown after."""
    return Specimen.history.order_by("-history_id").values_list("history_id", flat=True).first() or 0


def edited_since(finds: Sequence[Specimen], column: str, seen: int | None) -> set[int]:
    """Optimistic lock: keys of the pieces whose column was written since that entry. One query, mostly."""
    if seen is None or not finds:
        return set()
    entries = Specimen.history.filter(id__in=[find.pk for find in finds])
    later = set(entries.filter(history_id__gt=seen).values_list("id", flat=True))
    if not later:
        return set()
    before = dict(
        entries.filter(history_id__lte=seen, id__in=later).order_by("history_id").values_list("id", column)
    )
    return {find.pk for find in finds if find.pk in later and before.get(find.pk) != getattr(find, column)}
