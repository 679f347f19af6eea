"""Dating finds anew and storing the answers: one, many, whatever is stale, and beside the pages."""

import logging
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from threading import Event
from typing import Any

from django.db import close_old_connections, transaction
from django.db.models import F, Q, QuerySet

import dating
from catalogue.specimens import clock
from catalogue.specimens.clock import this_year
from catalogue.specimens.evidence import date_evidence, evidence_of
from catalogue.specimens.makers_of_marks import maker_shown
from catalogue.specimens.models import Maker, PhraseChange, Specimen
from catalogue.specimens.reference_makers import bring_in_reference_makers
from catalogue.specimens.tables import current_reference

from .answers import Answers, Asked, ReadAhead
from .columns import columns_of
from .writer import BATCH, STORED, batches_of, refresh_search_of, write_columns

log = logging.getLogger("siltmark.redating")
NOTED = ("made_with", "made_in")
# What makes an answer another one.
ANSWER = tuple("maker_id" if name == "maker" else name for name in STORED if name not in NOTED)
# How long the worker sleeps before it looks whether it should stop.
WAIT_S = 0.5


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a redating is: finds done, of how many, and how many phrases changed so far."""

    done: int
    total: int
    changed: int


def redate(find: Specimen, *, reference: dating.Reference | None = None) -> Specimen:
    """Refresh the stored window and maker of one find from its stored evidence, and save them.

    The history keeps it, as what a person did to the find brought it about.
    """
    reference = reference or current_reference()
    evidence = evidence_of(find)
    finding = date_evidence(evidence, reasons=False, reference=reference)
    # The reasons themselves are left out, so they can't tell whether there was anything to go by.
    answer = _answer_of(finding, reference, evidence.maker_opinion, evidence.says_something())
    for name, value in answer.items():
        setattr(find, name, value)
    find.save(update_fields=STORED)
    return find


def _answer_of(
    finding: dating.Finding, reference: dating.Reference, opinion: Maker | None, informed: bool
) -> dict[str, Any]:
    """An answer as the columns in `STORED` keep it. `informed`: whether there was anything to go by."""
    shown = maker_shown(finding, opinion)
    return columns_of(finding, informed) | {
        "made_with": reference.version,
        "maker": shown.maker,
        "maker_how": shown.how,
        "maker_probability": shown.probability,
    }


def stale(reference: dating.Reference | None = None) -> QuerySet[Specimen]:
    """Finds whose stored answer was computed with other tables or in another year, the bin included."""
    reference = reference or current_reference()
    year = this_year()
    old = ~Q(made_with=reference.version) | Q(made_in__isnull=True) | ~Q(made_in=year)
    return Specimen.everything.filter(old)


def redate_stale(*, batch: int = BATCH, stop: Event | None = None) -> Iterator[Progress]:
    """Redate what is stale, a batch at a time; each batch is kept, so an interrupted run goes on later.

    A find redated here leaves no trace in its history, nobody changed it; a changed phrase is written down
    as a `PhraseChange`. Stops after a batch once `stop` is set.
    """
    _note_new_year(current_reference())
    yield from redate_all(stale(), batch=batch, stop=stop)


def redate_all(
    finds: QuerySet[Specimen], *, batch: int = BATCH, stop: Event | None = None
) -> Iterator[Progress]:
    """Redate the finds of a query; the same as `redate_stale` for any choice of them."""
    keys = finds.order_by("pk").values_list("pk", flat=True).distinct()
    yield from redate_keys(list(keys), batch=batch, stop=stop)


def redate_keys(
    keys: Collection[int], *, batch: int = BATCH, stop: Event | None = None
) -> Iterator[Progress]:
    """Redate the finds with these keys; the same as `redate_stale` for any choice of them."""
    reference = current_reference()
    parts = list(batches_of(keys, batch))
    done = changed = 0
    with Answers(reference, len(keys)) as answers:
        ahead = ReadAhead(parts, answers)
        for part in parts:
            if stop is not None and stop.is_set():
                return
            ahead.read_on()
            with transaction.atomic():
                changed += _write(ahead.asked(part), answers, reference)
            done += len(part)
            with ahead.watching():
                yield Progress(done, len(keys), changed)


def _write(batch: list[Asked], answers: Answers, reference: dating.Reference) -> int:
    """Write only answers that differ; how many phrases changed."""
    different, phrases = [], []
    # the name of the maker shown is among what search reads
    renamed = []
    undatable = set()
    for asked in batch:
        find = asked.find
        try:
            answer = answers.about(asked)
        except dating.CaseError as error:
            # One that can't be dated keeps what it has, and keeps nobody else waiting.
            log.warning("%s can't be dated afresh: %s", find.number, error)
            undatable.add(find.pk)
            continue
        if any(getattr(find, name) != answer[name] for name in ANSWER):
            different.append((find.pk, answer))
        if find.maker_id != answer["maker_id"]:
            renamed.append(find.pk)
        if find.made_words and find.made_words != answer["made_words"]:
            phrases.append(
                PhraseChange(
                    find_id=find.pk,
                    was=find.made_words,
                    now=answer["made_words"],
                    tables=reference.version,
                )
            )
    write_columns(different)
    PhraseChange.objects.bulk_create(phrases)
    refresh_search_of(renamed)
    settled = undatable | {pk for pk, _ in different}
    same = [asked.find.pk for asked in batch if asked.find.pk not in settled]
    Specimen.everything.filter(pk__in=same).update(made_with=reference.version, made_in=this_year())
    return len(phrases)


def note_untouched(reference: dating.Reference) -> None:
    """After a change of marks alone: finds without a reading and without an opinion can't have changed."""
    untouched = stale(reference).filter(readings__isnull=True, opinions__isnull=True)
    untouched.filter(made_in=this_year()).update(made_with=reference.version)


def _note_new_year(reference: dating.Reference) -> None:
    """A find that came up on a dive was made before it, in whatever year one asks: its answer stays."""
    year = this_year()
    same_tables = Specimen.everything.filter(made_with=reference.version, made_in__lt=year)
    same_tables.filter(dive__isnull=False).update(made_in=year)


def latest_changes(limit: int = 200) -> QuerySet[PhraseChange]:
    """What redating changed, newest first, each with its find."""
    return PhraseChange.objects.filter(~Q(was=F("now"))).select_related("find")[:limit]


class RedatingWorker:
    """A background thread for whatever is stale: at start, and when it is woken.

    It goes a batch at a time, so that the pages stay quick.
    """

    def __init__(self) -> None:
        self._asked = Event()
        self.running = False

    def wake(self) -> None:
        """Have it look again. Call it once what changed is committed: it reads on a connection of its own."""
        self._asked.set()

    def run(self, stop: Event) -> None:
        """Work until `stop` is set. What is left then is found again at the next start."""
        self.running = True
        self._asked.set()
        try:
            # the tables may have come with makers that this catalogue does not have yet
            bring_in_reference_makers()
            while not stop.is_set():
                if not self._asked.wait(WAIT_S):
                    close_old_connections()
                    continue
                self._asked.clear()
                self._round(stop)
        finally:
            self.running = False

    def _round(self, stop: Event) -> None:
        """Redate what is stale now. A failure is logged; the next who wakes the worker has it try again."""
        try:
            clock.look()
            for progress in redate_stale(stop=stop):
                log.info(
                    "redated %s of %s, %s phrases changed", progress.done, progress.total, progress.changed
                )
        except Exception:
            log.exception("redating stopped half way")
            close_old_connections()


worker = RedatingWorker()
