"""How far an act on many finds has come, for the page that waits for it.

Kept in the memory of the process that does it: its transaction shows nobody anything before it ends. Where
another process answers, the page just says that it is busy.
"""

from threading import Lock

_lock = Lock()
_running: dict[int, tuple[int, int]] = {}


def report(key: int, done: int, total: int) -> None:
    """So many of so many steps are done."""
    with _lock:
        _running[key] = (done, total)


def over(key: int) -> None:
    """It is done, or was given up."""
    with _lock:
        _running.pop(key, None)


def progress_of(key: int) -> tuple[int, int] | None:
    """Steps done and steps in all; None where nothing is going on here."""
    with _lock:
        return _running.get(key)
