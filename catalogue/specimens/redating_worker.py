"""Redates beside the pages whatever is stale: at start, and when it is woken."""

import logging
from threading import Event

from django.db import close_old_connections

log = logging.getLogger("siltmark.redating")
WAIT_S = 0.5


class RedatingWorker:
    """Sleeps until woken; one batch at a time, so that the pages stay quick."""

    def __init__(self) -> None:
        self._asked = Event()
        self.running = False

    def wake(self) -> None:
        self._asked.set()

    def run(self, stop: Event) -> None:
        """Work until `stop` is set. What is left then is found again at the next start."""
        # Imported here: the services hand work to this module.
        from .services.redating import redate_stale

        self.running = True
        self._asked.set()
        try:
            while not stop.is_set():
                if not self._asked.wait(WAIT_S):
                    close_old_connections()
                    continue
                self._asked.clear()
                for progress in redate_stale(stop=stop):
                    log.info(
                        "redated %s of %s, %s phrases changed",
                        progress.done,
                        progress.total,
                        progress.changed,
                    )
        finally:
            self.running = False


worker = RedatingWorker()
