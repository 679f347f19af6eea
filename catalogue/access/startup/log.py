"""The log: all of it into a file, the gravest in one line on the screen, while the catalogue is open."""

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

from django.http import HttpRequest

from catalogue.access.logged_address import without_private
from catalogue.access.masked_trace import masked_trace
from catalogue.access.middleware import known_sessions

LOG_FILE = "siltmark.log"
LINE = "{asctime} {levelname} {name} {message}"


class OneLine(logging.Formatter):
    """The message alone: what happened is on the screen, how it came about is in the file."""

    def format(self, record: logging.LogRecord) -> str:
        return f"{record.getMessage()} (more in {LOG_FILE})"


class MaskedTraces(logging.Formatter):
    """A line and its trace, in which no database repeats the words that it was given."""

    def formatException(self, ei: Any) -> str:
        return masked_trace(ei[1]) if ei[1] is not None else ""


class LogFile(RotatingFileHandler):
    """The log's file; where it can't be written, on a full disk, the catalogue goes on without it."""

    def handleError(self, record: logging.LogRecord) -> None:
        """Say nothing: what is printed by default is a trace for whoever writes programs."""


class NotStrangers(logging.Filter):
    """Leave out what a stranger asked amiss (no such page, another host's name): it is nobody's to mend.

    What failed on our side is kept whoever asked.
    """

    def filter(self, record: logging.LogRecord) -> bool:
        request = getattr(record, "request", None)
        if request is None or getattr(record, "status_code", 500) >= 500:
            return True
        return known_sessions.is_signed_in(request.META.get("HTTP_COOKIE", ""))


class NoNames(logging.Filter):
    """Django's own lines name the address that was asked for: names and keys in it are hidden."""

    def filter(self, record: logging.LogRecord) -> bool:
        request = getattr(record, "request", None)
        if isinstance(request, HttpRequest):
            record.msg, record.args = without_private(record.getMessage(), request), ()
        return True


def keep_in(folder: Path) -> logging.Handler:
    """Log into the folder: at most six files of 1 MB. Returns the file's handler.

    The screen gets our own errors alone: what strangers on the network send amiss is nothing to look at.
    """
    file = LogFile(folder / LOG_FILE, maxBytes=1_000_000, backupCount=5, encoding="utf-8", delay=True)
    file.setFormatter(MaskedTraces(LINE, style="{"))
    file.addFilter(NotStrangers())
    file.addFilter(NoNames())
    root = logging.getLogger()
    for handler in root.handlers:
        handler.setFormatter(OneLine())
        handler.setLevel(logging.ERROR)
        handler.addFilter(logging.Filter("siltmark"))
    root.addHandler(file)
    # A queue that fills and browsers that hang up are told by whoever asks most, and without a request: what
    # strangers do would push everything else out of the file. Its errors are kept.
    logging.getLogger("waitress").setLevel(logging.ERROR)
    # Django's own loggers bring handlers of their own, which would print everything twice.
    for name in ("django", "django.server"):
        logger = logging.getLogger(name)
        logger.handlers.clear()
        logger.propagate = True
    return file
