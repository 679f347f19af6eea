"""A maker's mark in words, for those who hear the page and for lists."""

import re

from catalogue.common.drawings.lettering import with_ampersand

_FRAME_WORDS = {"inverted-triangle": "a triangle standing on its point", "other": "a frame of another shape"}
_WITH = {
    "stacked": "one above the other",
    "monogram": "as a monogram",
    "interlaced": "interlaced",
    "script": "in script",
    "separate": "set apart",
}


def _unread(count: int) -> str:
    return " (unread) " if count == 1 else f" ({count} unread) "


def a(noun: str) -> str:
    """The noun with its article."""
    return f"{'an' if noun[:1].lower() in 'aeiou' else 'a'} {noun}"


def mark_words(
    letters: str = "",
    *,
    frame: str | None = "none",
    symbol: str | None = "",
    arrangement: str | None = "plain",
    left: str | None = None,
    right: str | None = None,
    above: str | None = None,
    below: str | None = None,
    town: str | None = None,
) -> str:
    """For example "BW over a wave, 6 at the right"; what was not looked at is not mentioned."""
    letters = letters.strip()
    if letters and arrangement == "with-ampersand":
        letters = with_ampersand(letters)
    said = re.sub(r"\?+", lambda found: _unread(len(found.group())), letters.replace("/", " / "))
    words = " ".join(said.split())
    if words and arrangement in _WITH and len(letters) > 1:
        words += f" {_WITH[arrangement]}"
    if symbol:
        thing = a(symbol.replace("-", " "))
        words = f"{words} {'over' if symbol == 'wave' else 'with'} {thing}" if words else thing
    words = words or "no letters"
    if frame and frame != "none":
        words += f" in {_FRAME_WORDS.get(frame) or a(frame.replace('-', ' '))}"
    parts = [words]
    for where, value in (
        ("at the left", left),
        ("at the right", right),
        ("above", above),
        ("below", below),
    ):
        if value is None:
            continue
        shown = value.strip()
        parts.append(
            f"nothing {where}"
            if not shown
            else f"something unread {where}"
            if shown == "?"
            else f"{shown} {where}"
        )
    if town:
        parts.append(f"{town} round the edge")
    return ", ".join(parts)
