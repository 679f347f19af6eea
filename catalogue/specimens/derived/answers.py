"""The dating service's answers for many finds: memoised, computed by a process pool, and read ahead.

Equal evidence is asked about once; while the pool dates one batch, the evidence of the next is read
(prefetching).
"""

import logging
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import wait
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db import connections, router

import dating
from catalogue.specimens.evidence import Evidence, evidence_of_many, only_known
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import MakerHow
from catalogue.specimens.tables import Shown, maker_by_chance, maker_of, own_rows

from .process_pool import UNABLE, FutureAnswers, ProcessPool, answer_to, pool_size, question_of

log = logging.getLogger("siltmark.redating")
# Answers memoised at once: pieces that show the same get the same answer without asking again.
MEMO_SIZE = 5000
# Stands for every bottler, product and works that the codes do not name; no person types it.
NOBODY = "\N{EM DASH}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A find, the question its evidence makes, and the maker that a person named."""

    find: Specimen
    question: str
    named: Shown | None


class Answers:
    """Answers for `finds` finds; use it in a `with`, which ends the pool."""

    def __init__(self, reference: dating.Reference, finds: int = 0) -> None:
        self._reference = reference
        self._maker_of = cache(maker_of)
        self._known: dict[str, dict[str, Any]] = {}
        self._pending: dict[str, tuple[FutureAnswers, int]] = {}
        self._pool: ProcessPool | None = None
        size = pool_size(finds)
        if size:
            try:
                self._pool = ProcessPool(*own_rows(), reference.version, size)
            except UNABLE as error:
                self._alone(error)
        codes = reference.date_codes.values()
        self._told_apart = {
            name: {word.strip().casefold() for code in codes for word in getattr(code, name).split(";")}
            for name in ("bottler", "product", "works")
        }

    def __enter__(self) -> "Answers":
        return self

    def __exit__(self, *error: object) -> None:
        if self._pool:
            self._pool.close()

    @property
    def pooled(self) -> bool:
        """Whether a pool answers, so that it pays to ask ahead."""
        return self._pool is not None

    def ask(self, finds: Iterable[Evidence]) -> list[Asked]:
        """Put the questions; the pool begins to answer at once."""
        asked = [self._asked(evidence) for evidence in finds]
        new = {one.question for one in asked} - self._known.keys() - self._pending.keys()
        if self._pool and new:
            try:
                self._pending |= self._pool.ask(
                    [q for q in dict.fromkeys(a.question for a in asked) if q in new]
                )
            except UNABLE as error:
                self._alone(error)
        return asked

    def wait(self, asked: Iterable[Asked]) -> None:
        """Until the pool has answered, so that nothing need be locked meanwhile."""
        wait([self._pending[one.question][0] for one in asked if one.question in self._pending])

    def about(self, asked: Asked) -> dict[str, Any]:
        """The columns in `STORED` for that find, the maker as its key."""
        answer = dict(self._answer(asked.question))
        likeliest = answer.pop("likeliest")
        shown = asked.named or maker_by_chance(likeliest, self._maker_of)
        return answer | {
            "maker_how": shown.how,
            "maker_probability": shown.probability,
            "maker_id": shown.maker and shown.maker.pk,
        }

    def _asked(self, evidence: Evidence) -> Asked:
        case = self._nameless(only_known(evidence.case(), self._reference))
        opinion = evidence.maker_opinion
        named = Shown(opinion, MakerHow.OPINION, None) if opinion else None
        return Asked(evidence.find, question_of(case, named is not None), named)

    def _answer(self, question: str) -> dict[str, Any]:
        if question not in self._known:
            if len(self._known) >= MEMO_SIZE:
                self._known.clear()
            self._known[question] = self._from_pool(question) or answer_to(question, self._reference)
        return self._known[question]

    def _from_pool(self, question: str) -> dict[str, Any] | None:
        future, at = self._pending.pop(question, (None, 0))
        if future is None or not self._pool:
            return None
        try:
            return future.result()[at]
        except UNABLE as error:
            self._alone(error)
            return None

    def _alone(self, error: Exception) -> None:
        """Go on without a pool."""
        log.warning("dating in one process, as no others could be had: %s", error or type(error).__name__)
        if self._pool:
            self._pool.close()
        self._pool = None
        self._pending.clear()

    def _nameless(self, case: dict[str, Any]) -> dict[str, Any]:
        """The case without words that can't move the years, so that more of them are equal.

        A name that no code is bound to is as good as any other such name (yet not the same as none: with a
        bottler known, a code bound to another one is ruled out).
        """
        for name, told_apart in self._told_apart.items():
            if name in case and case[name].strip().casefold() not in told_apart | {"any"}:
                case[name] = NOBODY
        case["known"] = [row | {"what": "known", "source": ""} for row in case["known"]]
        return case


class ReadAhead:
    """Batches of finds in turn, each with the next one asked about already where a pool answers.

    What was read ahead counts only as long as nobody wrote to the catalogue in between; else it is read anew
    under the lock that the batch is written with.
    """

    def __init__(self, batches: Sequence[list[int]], answers: Answers) -> None:
        self._answers = answers
        self._store = connections[router.db_for_write(Specimen)]
        self._coming = iter(batches)
        self._read: list[tuple[int | None, list[Asked]]] = []

    def read_on(self) -> None:
        """Read this batch and the next where a pool answers, and wait for the answers about this one."""
        if self._answers.pooled and self._version() is not None:
            while len(self._read) < 2 and (more := next(self._coming, None)):
                self._read.append((self._version(), self._answers.ask(evidence_of_many(more))))
            self._answers.wait(self._read[0][1])
        elif not self._read:
            next(self._coming)
            self._read.append((None, []))

    def asked(self, keys: list[int]) -> list[Asked]:
        """The finds of this batch, as they are. Call it within the transaction that writes them."""
        version, asked = self._read.pop(0)
        if version is None or version != self._version():
            return self._answers.ask(evidence_of_many(keys))
        return asked

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Around whatever others do on this connection: if they write, what was read ahead is void."""
        before = self._written()
        yield
        if self._written() != before:
            self._read = [(None, asked) for _, asked in self._read]

    def _version(self) -> int | None:
        """Another number whenever another connection has written; None where the store can't tell."""
        if self._store.vendor != "sqlite":
            return None
        with self._store.cursor() as cursor:
            version: int = cursor.execute("PRAGMA data_version").fetchone()[0]
            return version

    def _written(self) -> int | None:
        """How many rows this connection has written."""
        raw = self._store.connection
        return raw.total_changes if self._store.vendor == "sqlite" and raw is not None else None
