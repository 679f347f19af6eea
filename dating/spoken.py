"""Spoken description: a mark as a person names it, letters first, then its sign and its frame.

One sentence for one reading: the reasons, the clashes, a find's page and its draft story all say it so.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

# Frames that a mark can have; each is drawn (`mark_shapes`).
FRAME_KEYS = (
    *("none", "circle", "oval", "square", "diamond", "triangle", "inverted-triangle", "hexagon"),
    *("keystone", "shield", "other"),
)
# Frames that are not spoken by their plain name.
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


def mark_in_words(
    letters: str, symbol: str, frame: str, arrangement: str, nothing: str = "no letters"
) -> str:
    """For example "BW over a wave" or "T&H in a hexagon"; `nothing` stands where there are no letters."""
    words = letters_in_words(letters, arrangement)
    if words and arrangement not in UNSPOKEN and arrangement in ARRANGEMENT_WORDS and len(letters) > 1:
        words += f" {ARRANGEMENT_WORDS[arrangement]}"
    if symbol:
        thing = with_article(symbol.replace("-", " "))
        words = f"{words} {'over' if symbol == 'wave' else 'with'} {thing}" if words else thing
    words = words or nothing
    if frame and frame != "none":
        words += f" in {FRAME_SPOKEN.get(frame) or with_article(frame.replace('-', ' '))}"
    return words


def letters_in_words(letters: str, arrangement: str) -> str:
    """The letters as they stand: an ampersand between them, what is unread said to be so."""
    letters = letters.strip()
    if letters and arrangement == "with-ampersand":
        letters = with_ampersand(letters)
    said = re.sub(r"\?+", lambda found: _unread(len(found.group())), letters.replace("/", " / "))
    return " ".join(said.split())


def with_ampersand(letters: str) -> str:
    """The letters with an ampersand where such names have one: before CO or SON, else after the first."""
    if "&" in letters or len(letters) < 2:
        return letters
    for ending in ("CO", "SONS", "SON", "BROS"):
        if letters.upper().endswith(ending) and len(letters) > len(ending):
            return f"{letters[: -len(ending)]} & {letters[-len(ending) :]}"
    return f"{letters[0]}&{letters[1:]}"


def with_article(noun: str) -> str:
    """The noun after "a" or "an"."""
    return f"{'an' if noun[:1].lower() in 'aeiou' else 'a'} {noun}"


def _unread(count: int) -> str:
    return " (unread) " if count == 1 else f" ({count} unread) "
