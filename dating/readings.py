"""A mark as it was read off the glass, worn places and all: the observation, checked."""

from dataclasses import dataclass

from . import checks
from .constants import CERTAINTY
from .errors import CaseError, nearest
from .letters import GAP, LONGEST_READING, pattern
from .library import Reference

SLOTS = ("left", "right", "above", "below")
SLOT_WORDS = {"left": "at the left", "right": "at the right", "above": "above", "below": "below"}
PLACES = ("base", "heel", "lip", "side", "rim", "shoulder", "body", "lid")
READING_KEYS = ("at", "letters", "symbol", "frame", "arrangement", *SLOTS, "certainty", "only")


@dataclass(frozen=True, slots=True)
class MarkReading:
    """``None``: not looked at; ``""``: looked, nothing there; ``"?"``: there but unreadable."""

    letters: str | None = None
    symbol: str | None = None
    frame: str | None = None
    arrangement: str | None = None
    at: str | None = None
    left: str | None = None
    right: str | None = None
    above: str | None = None
    below: str | None = None
    certainty: str = "certain"
    only: tuple[str, ...] = ()

    @property
    def slots(self) -> dict[str, str | None]:
        """The characters beside the mark by where they stand."""
        return {slot: getattr(self, slot) for slot in SLOTS}

    @property
    def label(self) -> str:
        """How a person names it: ``LG, 69 at the right``."""
        parts = []
        if self.letters:
            parts.append(self.letters)
        if self.symbol:
            parts.append(f"{self.symbol} sign")
        if self.frame and self.frame != "none":
            parts.append(f"in a {self.frame}" if parts else f"{self.frame} frame")
        head = " ".join(parts) or "a mark not read"
        for slot, words in SLOT_WORDS.items():
            chars = getattr(self, slot)
            if chars:
                head += f", {chars} {words}"
        return head


def read_mark_reading(value: object, at: str, ref: Reference) -> MarkReading | None:
    """A reading in the shape that the command line takes; None where nothing at all was read."""
    entry = checks.mapping(value, at, READING_KEYS)
    letters = checks.text(entry.get("letters"), f"{at}.letters", 400)
    if letters and len(pattern(letters)) > LONGEST_READING:
        raise CaseError(f"more than {LONGEST_READING} letters", f"{at}.letters")
    symbol = _seen(entry.get("symbol"), f"{at}.symbol", ref.symbols, "")
    arrangement = _seen(entry.get("arrangement"), f"{at}.arrangement", ref.arrangements, "plain")
    shape = entry.get("frame")
    if isinstance(shape, str) and shape not in ref.frames and shape:
        # a sign or a way of joining letters is easily told in place of a frame
        if shape in ref.symbols and not symbol:
            shape, symbol = None, shape
        elif arrangement is None and any(word in ref.arrangements for word in shape.split()):
            joined = [word for word in shape.split() if word in ref.arrangements]
            shape, arrangement = None, joined[0]
    frame = _seen(shape, f"{at}.frame", ref.frames, "none")
    if arrangement is None and letters and "&" in letters:
        arrangement = "with-ampersand"
    slots = [checks.text(entry.get(slot), f"{at}.{slot}", 40) for slot in SLOTS]
    only = []
    for n, item in enumerate(checks.items(entry.get("only"), f"{at}.only")):
        name = checks.text(item, f"{at}.only[{n}]") or ""
        if name not in ref.marks:
            raise CaseError(f"unknown mark “{name[:60]}”" + nearest(name, ref.marks), f"{at}.only[{n}]")
        only.append(name)
    if not letters or not any(place != {GAP} for place in pattern(letters)):
        letters = "" if letters is not None and (symbol or (frame and frame != "none")) else None
    if letters is None and not symbol and frame in (None, "none") and not any(slots) and not only:
        return None
    if letters is None and not symbol and frame in (None, "none"):
        symbol = frame = arrangement = None  # a form left empty, but for characters, has not been looked at
    left, right, above, below = (None if chars is None else chars.strip() for chars in slots)
    return MarkReading(
        letters,
        symbol,
        frame,
        arrangement,
        checks.choice(entry.get("at"), f"{at}.at", PLACES),
        left,
        right,
        above,
        below,
        checks.choice(entry.get("certainty"), f"{at}.certainty", CERTAINTY) or "certain",
        tuple(only),
    )


def _seen(value: object, at: str, known: tuple[str, ...], nothing: str) -> str | None:
    """A known value; ``""`` means looked and nothing there."""
    if value is None:
        return None
    if value == "":
        return nothing
    return checks.choice(value, at, {*known, nothing})
