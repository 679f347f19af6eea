"""Background work: threads that run beside the pages while the catalogue is open.

An app registers its function in its `AppConfig.ready`:

    background.register(refresh_windows)       # takes an Event that says "stop now"
"""

import logging
import threading
from collections.abc import Callable

from django.db import connections

Work = Callable[[threading.Event], None]

log = logging.getLogger("siltmark.start")
_works: list[Work] = []


def register(work: Work) -> Work:
    """Have `work(stop)` run in a thread of its own once pages are served; it ends soon after `stop`."""
    if work not in _works:
        _works.append(work)
    return work


def start(stop: threading.Event) -> list[threading.Thread]:
    """Start what was registered; returns its threads."""
    threads = [threading.Thread(target=run_guarded, args=(work, stop), daemon=True) for work in _works]
    for thread in threads:
        thread.start()
    return threads


def run_guarded(work: Work, stop: threading.Event) -> None:
    """Run one to its end: a failure is logged and stops nothing else, and its connections are closed."""
    try:
        work(stop)
    except Exception:
        log.exception("the work %s in the background failed", getattr(work, "__qualname__", work))
    finally:
        connections.close_all()
