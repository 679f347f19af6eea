"""All spellings of the marks at once: how likely a reading is for each, sharing work between like beginnings."""

from collections.abc import Iterable
from functools import lru_cache
from os.path import commonprefix

from .constants import TURNED
from .letters import Pattern, first_row, next_row, turned


class Spellings:
    """The distinct letter strings of a table, in order, so that neighbours begin alike."""

    def __init__(self, letters: Iterable[str]) -> None:
        self.strings = sorted(set(letters))
        self._shared = [
            len(commonprefix([a, b])) for a, b in zip(["", *self.strings], self.strings, strict=False)
        ]
        self.chances = lru_cache(maxsize=256)(self._chances)

    def _chances(self, reading: Pattern) -> dict[str, float]:
        """Spelling → chance of this reading at its best alignment, also turned over at a price."""
        best = self._upright(reading)
        for other in turned(reading):
            for string, value in self._upright(other).items():
                if value * TURNED > best[string]:
                    best[string] = value * TURNED
        return best

    def _upright(self, reading: Pattern) -> dict[str, float]:
        out = {}
        rows = [first_row(reading)]
        for string, shared in zip(self.strings, self._shared, strict=True):
            del rows[shared + 1 :]
            row = rows[-1]
            for letter in string[shared:]:
                row = next_row(reading, row, letter)
                rows.append(row)
            out[string] = row[-1]
        return out
