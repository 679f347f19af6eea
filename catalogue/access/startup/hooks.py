"""Work that other rooms want done when the catalogue opens.

A room registers its functions in its `AppConfig.ready`:

    hooks.before_serving(make_missing_sizes)   # runs to its end before the first page
    hooks.in_background(refresh_windows)       # runs beside the pages; takes an Event that says "stop now"
"""

import logging
import threading
from collections.abc import Callable

from django.db import connections

Step = Callable[[], None]
Work = Callable[[threading.Event], None]

log = logging.getLogger("siltmark.start")
_steps: list[Step] = []
_works: list[Work] = []


def before_serving(step: Step) -> Step:
    """Have `step` run at every start, in the order of registering; keep it short."""
    if step not in _steps:
        _steps.append(step)
    return step


def in_background(work: Work) -> Work:
    """Have `work(stop)` run in a thread of its own once pages are served; it ends soon after `stop`."""
    if work not in _works:
        _works.append(work)
    return work


def run_steps() -> list[str]:
    """Run what was registered; one that fails is logged and named, and keeps nobody out."""
    failed = []
    for step in _steps:
        try:
            step()
        except Exception:
            log.exception("the step %s at the start failed", step.__qualname__)
            failed.append(step.__qualname__)
    return failed


def start_works(stop: threading.Event) -> list[threading.Thread]:
    """Start the background work; returns its threads."""
    threads = [threading.Thread(target=_guarded, args=(work, stop), daemon=True) for work in _works]
    for thread in threads:
        thread.start()
    return threads


def _guarded(work: Work, stop: threading.Event) -> None:
    try:
        work(stop)
    except Exception:
        log.exception("the work %s in the background failed", work.__qualname__)
    finally:
        connections.close_all()
