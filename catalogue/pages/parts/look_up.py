"""Forgiving look-up of makers, marks and rows of the tables: spaces, points, `&` and "and" don't count.

A mark is stored as its letters alone (`BALLMASON`, `TH`); nobody types it so.
"""

import re
from collections.abc import Iterable

from catalogue.common.text import folded

AND = re.compile(r"&|\+|\band\b")
NO_LETTER = re.compile(r"[\W_]+")
SHORT_WORD = 2  # letters that would stand in half of all names: looked for as a whole word or mark


def squeezed(text: str) -> str:
    """Letters and figures alone, folded: "ballmason" of "Ball Mason", "th" of "T. & H." and of "T and H"."""
    return NO_LETTER.sub("", AND.sub(" ", folded(text)))


class LookUp:
    """What somebody looks for."""

    def __init__(self, typed: str) -> None:
        words = [word for word in NO_LETTER.split(AND.sub(" ", folded(typed))) if word]
        self.words = words
        self.joined = "".join(words)

    def __bool__(self) -> bool:
        return bool(self.joined)

    def fits(self, fields: Iterable[str]) -> bool:
        """Whether one of the fields holds it all, run together, or all of them hold each of its words."""
        texts = [folded(field) for field in fields if field]
        plain = [squeezed(text) for text in texts]
        if (
            self.joined in plain
            or len(self.joined) > SHORT_WORD
            and any(self.joined in text for text in plain)
        ):
            return True
        whole = {word for text in texts for word in NO_LETTER.split(text)} | set(plain)
        return all(
            word in whole or len(word) > SHORT_WORD and any(word in text for text in plain)
            for word in self.words
        )
