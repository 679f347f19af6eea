"""Start checks: what has to be said of a catalogue before it opens, room by room.

An app registers its function in its `AppConfig.ready`:

    start_checks.register(look_at_originals)       # returns sentences, none where all is well
"""

from collections.abc import Callable

StartCheck = Callable[[], list[str]]

_checks: list[StartCheck] = []


def register(check: StartCheck) -> StartCheck:
    """Have `check()` run at each start, when the database is up to date and before pages are served."""
    if check not in _checks:
        _checks.append(check)
    return check


def run() -> list[str]:
    """The sentences of all, in the order of their registration."""
    return [sentence for check in _checks for sentence in check()]
