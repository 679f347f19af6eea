"""Dating anew whatever is stale, a batch at a time, also beside the pages (a background worker)."""

import logging
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from threading import Event

from django.db import close_old_connections, transaction
from django.db.models import F, Q, QuerySet

import dating
from catalogue.specimens import clock
from catalogue.specimens.clock import this_year
from catalogue.specimens.models import PhraseChange, Specimen
from catalogue.specimens.reference_makers import bring_in_reference_makers
from catalogue.specimens.tables import current_reference

from .answers import Answers, ReadAhead
from .batches import BATCH, batches_of
from .writer import write_answers

log = logging.getLogger("siltmark.redating")
# How long the worker sleeps before it looks whether it should stop.
WAIT_S = 0.5


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a redating is: finds done, of how many, and how many phrases changed so far."""

    done: int
    total: int
    changed: int


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
                changed += write_answers(ahead.asked(part), answers, reference)
            done += len(part)
            with ahead.watching():
                yield Progress(done, len(keys), changed)


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
