"""The one backup, look or restore that runs at a time, its progress, and its end; kept in memory."""

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from django.db import connections

from catalogue.exchange.backup.copying import BackupError, Progress
from catalogue.exchange.backup.locked import PasswordRefused
from catalogue.exchange.backup.restore import RestoreError

log = logging.getLogger("siltmark.backup")
# What is done, given a progress to tell and an event that says "stop now"; its answer is a sentence.
Stop = threading.Event
Work = Callable[[Progress, Stop], str]


class WorkRefused(Exception):
    """Nothing was done; the message is one sentence for whoever asked for it."""


@dataclass(slots=True)
class Task:
    """One piece of work: what it is in words, how far it is, and how it ended."""

    name: str
    done: int = 0
    total: int = 0
    said: str = ""
    trouble: str = ""
    ended: bool = False
    stop: threading.Event = field(default_factory=threading.Event)

    @property
    def percent(self) -> int:
        """Hundredths done, as far as is known."""
        return 100 * self.done // self.total if self.total else 0

    def tell(self, done: int, total: int) -> None:
        """Note progress."""
        self.done, self.total = done, total


class _Either(threading.Event):
    """Set where it was set itself, or where the whole program ends."""

    def __init__(self, outer: threading.Event) -> None:
        super().__init__()
        self.outer = outer

    def is_set(self) -> bool:
        return super().is_set() or self.outer.is_set()


_lock = threading.Lock()
_current: Task | None = None


def current() -> Task | None:
    """What runs, or ran last since the start."""
    return _current


def begin(name: str, work: Work) -> Task | None:
    """Begin in a thread of its own; None where something runs already."""
    global _current
    with _lock:
        if _current is not None and not _current.ended:
            return None
        task = _current = Task(name)
    threading.Thread(target=_run_apart, args=(task, work), daemon=True).start()
    return task


def run_here(name: str, work: Work, stop: threading.Event) -> Task | None:
    """The same in this thread, ended by `stop`; None where something runs already."""
    global _current
    with _lock:
        if _current is not None and not _current.ended:
            return None
        task = _current = Task(name, stop=_Either(stop))
    _run(task, work)
    return task


def _run(task: Task, work: Work) -> None:
    try:
        task.said = work(task.tell, task.stop)
    except (BackupError, RestoreError, PasswordRefused, WorkRefused) as error:
        task.trouble = str(error)
    except Exception:
        log.exception("%s failed", task.name)
        task.trouble = f"{task.name}: something unforeseen went wrong; the log tells more."
    finally:
        task.ended = True


def _run_apart(task: Task, work: Work) -> None:
    try:
        _run(task, work)
    finally:
        connections.close_all()
