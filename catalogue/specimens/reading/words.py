"""The vocabulary of a mark as read: sides, frames, symbols, arrangements; and the choices to tap.

The values themselves are those of the tables (`dating`). Parts of the vessel are `Where` beside the model.
"""

from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType

from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_shapes import frame_drawing, symbol_drawing
from catalogue.common.drawings.svg import esc
from dating.case import SLOT_WORDS

Choice = tuple[str, str | SafeString]
Choices = list[Choice]

SIDES: Mapping[str, str] = MappingProxyType(SLOT_WORDS)  # left, right, above, below, each as one says it
NONE = "none"  # in a form or an address: looked, and there is none
NOT_LOOKED: Choice = ("", "not looked")
# Frames that are not called by their plain name: on a button, and after "in".
FRAME_WORDS: Mapping[str, str] = MappingProxyType(
    {NONE: "no frame", "inverted-triangle": "triangle, point down", "other": "another shape"}
)
FRAME_SPOKEN: Mapping[str, str] = MappingProxyType(
    {"inverted-triangle": "a triangle standing on its point", "other": "a frame of another shape"}
)
ARRANGEMENT_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "plain": "side by side",
        "stacked": "one above the other",
        "with-ampersand": "with an & between",
        "monogram": "as a monogram",
        "interlaced": "interlaced",
        "script": "in script",
        "separate": "set apart",
        "other": "another way",
    }
)
# Arrangements of which a spoken description says nothing: they are seen in the letters, or unknown.
UNSPOKEN = frozenset({"", "plain", "with-ampersand", "other"})


def frame_choice(frame: str) -> Choice:
    """One frame to tap: its drawing and its word; no frame has no drawing."""
    words = FRAME_WORDS.get(frame, frame)
    return (frame, words if frame == NONE else with_drawing(frame_drawing(frame), words))


def symbol_choice(symbol: str) -> Choice:
    """One symbol to tap: its drawing and its word."""
    return (symbol, with_drawing(symbol_drawing(symbol), symbol.replace("-", " ")))


@lru_cache(maxsize=1)
def frames() -> Choices:
    """Frames of the tables, drawn; not looked first, then no frame."""
    rest = [frame for frame in dating.reference().frames if frame not in (NONE, "other")]
    return [NOT_LOOKED, *map(frame_choice, (NONE, *rest, "other"))]


def symbols(own: Iterable[str] = ()) -> Choices:
    """Symbols of the tables and of `own` marks, drawn; not looked first, then no symbol."""
    known = sorted({*dating.reference().symbols, *own})
    return [NOT_LOOKED, (NONE, "no symbol"), *map(symbol_choice, known)]


@lru_cache(maxsize=1)
def arrangements() -> Choices:
    """How letters stand to each other, in words."""
    known: Collection[str] = dating.reference().arrangements
    return [NOT_LOOKED, *(pair for pair in ARRANGEMENT_WORDS.items() if pair[0] in known)]


def with_drawing(svg: str, words: str) -> SafeString:
    """A drawing of ours followed by its word, which is escaped."""
    return mark_safe(f"{svg} {esc(words)}")
