"""Reading the evidence of the next finds while helpers date these."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from django.db import connections, router

from catalogue.specimens.models import Specimen

from .answers import Answers, Asked
from .many import evidence_of_many


class Ahead:
    """Batches of finds in turn, each with the next one asked about already where helpers answer.

    What was read ahead counts only as long as nobody wrote to the catalogue in between; else it is read anew
    under the lock that the batch is written with.
    """

    def __init__(self, batches: Sequence[list[int]], answers: Answers) -> None:
        self._answers = answers
        self._store = connections[router.db_for_write(Specimen)]
        self._coming = iter(batches)
        self._read: list[tuple[int | None, list[Asked]]] = []

    def read_on(self) -> None:
        """Read this batch and the next where helpers answer, and wait for the answers about this one."""
        if self._answers.helped and self._version() is not None:
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
            return cursor.execute("PRAGMA data_version").fetchone()[0]

    def _written(self) -> int | None:
        """How many rows this connection has written."""
        raw = self._store.connection
        return raw.total_changes if self._store.vendor == "sqlite" and raw is not None else None
