"""From which browser or phone an entry of a history was written, kept with the reason of the entry.

The history's own table knows one owner; the same person at the machine and on a phone are told apart here.
What was written at the machine itself has no such words.
"""

from typing import Any

from simple_history.models import HistoricalRecords

_WRITTEN_ON = "\nwritten on "
_LONGEST = 60


def hand_now() -> str:
    """What the browser of this request is called; empty at the machine itself, and without a request."""
    request = getattr(HistoricalRecords.context, "request", None)
    return str(getattr(request, "hand", ""))[:_LONGEST]


def with_hand(reason: str | None, hand: str) -> str | None:
    """What an entry keeps."""
    return f"{reason or ''}{_WRITTEN_ON}{hand}" if hand else reason


def reason_of(entry_reason: str | None) -> str:
    """Why it was written, of what an entry keeps."""
    return (entry_reason or "").partition(_WRITTEN_ON)[0]


def hand_of(entry_reason: str | None) -> str:
    """What wrote it, of what an entry keeps; empty where nothing is noted."""
    return (entry_reason or "").partition(_WRITTEN_ON)[2]


def note_hand(history_instance: Any, **about: Any) -> None:
    """Receiver of `pre_create_historical_record`: note what writes."""
    history_instance.history_change_reason = with_hand(history_instance.history_change_reason, hand_now())
