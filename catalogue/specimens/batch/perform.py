"""Do an act with many finds, in one transaction: all of them, or only those that nothing stands against."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from catalogue.specimens.batch import progress
from catalogue.specimens.batch.judging import Judged, PieceVerdict, in_parts, judge
from catalogue.specimens.batch.piece_act import PieceAct
from catalogue.specimens.batch.writing import write_column
from catalogue.specimens.derived.refresh import refresh_now, refreshing, years_beside_the_pages
from catalogue.specimens.models import BatchAct, Specimen


class NotAllOfThem(ValueError):
    """Nothing was done: some may not, and all were asked for; `judged` says which and why."""

    def __init__(self, judged: Judged, words: str) -> None:
        super().__init__(words)
        self.judged = judged


@dataclass(frozen=True, slots=True)
class BatchDone:
    """What was done, and what stayed as it was."""

    count: int
    words: str
    judged: Judged
    years_follow: bool = False  # the years of these are worked out beside the pages


@refreshing()
def perform(
    batch: BatchAct,
    act: PieceAct,
    *,
    only_good: bool = False,
    answers: Mapping[str, str] | None = None,
    seen: int | None = None,
) -> BatchDone:
    """Do it, and write into `batch` how it is taken back. Raises NotAllOfThem with nothing done.

    Every row is judged once more, under a lock: a page may have lain open for an hour.
    """
    keys = list(batch.finds)
    steps = 0

    def step(count: int) -> None:
        nonlocal steps
        steps += count
        progress.report(batch.pk, steps, 2 * len(keys))

    step(0)
    try:
        judged = judge(act, keys, answers=answers, seen=seen, lock=True, step=step)
        good = judged.good
        if not only_good and (judged.refused or judged.waiting or judged.gone):
            raise NotAllOfThem(judged, "Nothing was done: look at what may not, below.")
        if len(good) < act.fewest:
            raise NotAllOfThem(judged, _nothing_to_do(act, judged))
        finds = {verdict.find.pk: verdict.find for verdict in good}
        act.ready(list(finds.values()))
        batch.changed = {"rows": []}
        with years_beside_the_pages(len(finds)) as put_off:
            for part in in_parts(list(finds)):
                _do_part(batch, act, [finds[key] for key in part], answers or {})
                step(len(part))
    finally:
        progress.over(batch.pk)
    batch.kind, batch.words, batch.done_at = act.key, act.done_words(len(good)), timezone.now()
    batch.save()
    return BatchDone(len(good), batch.words, judged, put_off and act.bears_on_years)


def _do_part(batch: BatchAct, act: PieceAct, finds: list[Specimen], answers: Mapping[str, str]) -> None:
    for kind, rows in act.beside(finds, answers).items():
        batch.changed.setdefault(kind, []).extend(rows)
    before: dict[int, Any] = {}
    if act.column:
        for find in finds:
            before[find.pk] = getattr(find, act.column)
            setattr(find, act.column, act.value(find))
        write_column(finds, act.column, *act.also)
    batch.changed["rows"] += [
        [find.pk, before.get(find.pk), _stored(getattr(find, act.column) if act.column else None)]
        for find in finds
    ]
    refresh_now()


def _stored(value: Any) -> Any:
    """As JSON has it."""
    return value.isoformat() if hasattr(value, "isoformat") else value


def _nothing_to_do(act: PieceAct, judged: Judged) -> str:
    if len(judged.same) == len(judged.verdicts) and judged.verdicts:
        return f"Nothing was done: all of them are so already ({act.target})."
    if act.fewest > 1:
        return f"Nothing was done: it takes {act.fewest} pieces at least."
    return "Nothing was done: it may be done with none of them."


def some_numbers(verdicts: list[PieceVerdict], most: int = 6) -> str:
    """ "2026.0.1, 2026.0.2 and 12 more"."""
    named = ", ".join(verdict.find.number for verdict in verdicts[:most])
    return f"{named} and {len(verdicts) - most} more" if len(verdicts) > most else named
