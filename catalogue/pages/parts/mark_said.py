"""A mark as an address says it: letters, symbol, frame, how the letters stand, and what stands beside it."""

from typing import Any

from django.http import QueryDict

from dating import Reference

SIDES = ("left", "right", "above", "below")
MARK_KEYS = ("letters", "symbol", "frame", "arrangement", "mark_certainty", "none", *SIDES)
LONGEST = 60
NOTHING = "none"  # looked, and there is none


def mark_said(query: QueryDict, reference: Reference) -> dict[str, Any]:
    """The reading as the dating service takes it; empty where none was said. Unknown words are left out."""
    letters = query.get("letters", "").replace("\x00", "").strip()[:LONGEST]
    symbol, frame = query.get("symbol", ""), query.get("frame", "")
    if not letters and not _shows(symbol, reference.symbols) and not _shows(frame, reference.frames):
        return {}
    mark: dict[str, Any] = {"at": "base", "letters": letters}
    if symbol in reference.symbols or symbol == NOTHING:
        mark["symbol"] = "" if symbol == NOTHING else symbol
    if frame in reference.frames:
        mark["frame"] = frame
    if query.get("arrangement") in reference.arrangements:
        mark["arrangement"] = query["arrangement"]
    for side in SIDES:
        typed = query.get(side, "").replace("\x00", "").strip()[:40]
        if typed:
            mark[side] = typed
        elif side in query.getlist("none"):
            mark[side] = ""
    if query.get("mark_certainty") in ("probable", "doubtful"):
        mark["certainty"] = query["mark_certainty"]
    return mark


def _shows(word: str, known: tuple[str, ...]) -> bool:
    return word != NOTHING and word in known
