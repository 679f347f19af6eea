"""All spellings of the marks at once: how likely a reading is for each, sharing work on like beginnings."""

from collections.abc import Iterable
from functools import lru_cache
from os.path import commonprefix

from .constants import TURNED
from .letters import Pattern, end_lost, first_row, next_row, place_of, too_long, turned

HOPELESS = 1e-15  # no other evidence could raise such a reading


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
        best = self._upright(reading, len(reading) + 1000)
        for other in turned(reading):
            # turned over and letters lost at once is too far-fetched to be worth the time
            for string, value in self._upright(other, len(reading)).items():
                if value * TURNED > best[string]:
                    best[string] = value * TURNED
        return best

    def _upright(self, reading: Pattern, longest: int) -> dict[str, float]:
        """One way of holding it, for spellings up to a length; rows of like beginnings are kept."""
        out = {}
        places = [place_of(token) for token in reading]
        end = end_lost(reading)
        rows = [first_row(places)]
        cut = [0.0]  # the best chance where the end of the mark wore off after so many letters
        alike = 0
        for string, shared in zip(self.strings, self._shared, strict=True):
            alike = min(alike, shared)
            if len(string) > longest:
                continue
            del rows[alike + 1 :], cut[alike + 1 :]
            for letter in string[alike:]:
                cut.append(max(cut[-1], rows[-1][-1] * end))
                rows.append(next_row(places, rows[-1], letter, end))
                if not end and max(rows[-1]) < HOPELESS:
                    break  # from here it can only fall further
            out[string] = max(rows[-1][-1], cut[-1]) * too_long(reading, string)
            alike = len(rows) - 1
        return out
