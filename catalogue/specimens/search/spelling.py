"""Wrong letters: words within a small edit distance of what was typed. Pure.

The distance is the optimal string alignment one: a letter wrong, missing or too many, or two neighbours
exchanged, each counts one. What was typed may also be the beginning of a longer word.

Near words are looked up, not looked for: two words at most two errors apart become equal by taking at most
two letters out of each (symmetric deletion), so each known word is kept under the few texts it can become.
"""

from array import array
from bisect import bisect_left
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import combinations
from zlib import crc32

# Shorter ones have too many neighbours to say anything; from the second on, two letters may be wrong.
SHORTEST_FORGIVEN, FORGIVEN_TWICE = 4, 6
# Letters are taken out of the beginning of a word: two equal words have equal beginnings, and 29 texts do.
COMPARED_BEGINNING = 7
# Words have numbers below this, so that a text's hash and a word's number make one whole number of 63 bits.
NUMBERS = 1 << 31


def letters_forgiven(word: str) -> int:
    """How many wrong letters of a typed word are forgiven."""
    return (len(word) >= SHORTEST_FORGIVEN) + (len(word) >= FORGIVEN_TWICE)


def edit_distance(typed: str, word: str, most: int) -> tuple[int, int]:
    """Distance to the whole word, and to that beginning of it which is nearest; above `most`: `most` + 1.

    A column of the table of distances is one number of bits, up or down from row to row (Hyyrö 2003).
    """
    length = len(typed)
    if not length:
        return min(len(word), most + 1), 0
    where: dict[str, int] = {}
    for n, letter in enumerate(typed):
        where[letter] = where.get(letter, 0) | 1 << n
    all_rows, last = (1 << length) - 1, 1 << (length - 1)
    up, down, same, before = all_rows, 0, 0, 0
    distance = nearest = length
    for letter in word:
        equal = where.get(letter, 0)
        exchanged = ((~same & equal) << 1) & before
        same = ((((equal & up) + up) ^ up) | equal | down | exchanged) & all_rows
        more, less = (down | ~(same | up)) & all_rows, same & up
        distance += bool(more & last) - bool(less & last)
        nearest = min(nearest, distance)
        more, less = (more << 1 | 1) & all_rows, (less << 1) & all_rows
        up, down = (less | ~(same | more)) & all_rows, more & same
        before = equal
    return min(distance, most + 1), min(nearest, most + 1)


def deletion_keys(word: str, taken: int = 2) -> set[int]:
    """The hashes (32 bits) of what the word's beginning becomes with at most so many letters taken out."""
    beginning = word[:COMPARED_BEGINNING]
    return {
        crc32("".join(kept).encode())
        for out in range(min(taken, len(beginning)) + 1)
        for kept in combinations(beginning, len(beginning) - out)
    }


def listed_keys(word: str, number: int) -> list[int]:
    """Under which keys a word of that number is kept: the hash of a text, then the number. In order."""
    # a word of three letters is near those of four and five alone, of which one letter is forgiven
    taken = 1 if len(word) < SHORTEST_FORGIVEN else 2
    return sorted(key * NUMBERS + number for key in deletion_keys(word, taken))


def spans_to_ask_for(typed: str) -> list[tuple[int, int]]:
    """Spans (from, below) in which the keys of every word lie that `likely_words` takes for `typed`."""
    keys = sorted(deletion_keys(typed, letters_forgiven(typed)))
    return [(key * NUMBERS, (key + 1) * NUMBERS) for key in keys]


class NearWords:
    """Words that never change, kept under their keys in memory: 8 bytes each."""

    def __init__(self, words: Collection[str]) -> None:
        self._words = sorted(words)
        self._keys = array("Q", sorted(k for n, word in enumerate(self._words) for k in listed_keys(word, n)))

    def near(self, typed: str) -> set[str]:
        """Every word that may be meant, and some more."""
        found: set[str] = set()
        for first, below in spans_to_ask_for(typed):
            at = bisect_left(self._keys, first)
            while at < len(self._keys) and self._keys[at] < below:
                found.add(self._words[self._keys[at] - first])
                at += 1
        return found


@dataclass(frozen=True, slots=True, order=True)
class LikelyWord:
    """A word that may be meant: the nearest first, whole ones, those that begin alike, frequent ones."""

    distance: int
    is_part: bool
    begins_otherwise: bool
    rarity: int
    word: str


def likely_words(typed: str, known: Iterable[tuple[str, int]], most: int = 5) -> list[LikelyWord]:
    """The likeliest of the known words (with how often each occurs), the best first."""
    forgiven = letters_forgiven(typed)
    if not forgiven:
        return []
    letters, found = set(typed), []
    for word, count in known:
        if len(word) < len(typed) - forgiven or word == typed or len(letters - set(word)) > forgiven:
            continue
        whole, begin = edit_distance(typed, word[: len(typed) + forgiven + 1], forgiven)
        if 0 < whole <= forgiven:
            found.append(LikelyWord(whole, False, word[0] != typed[0], -count, word))
        elif begin == 1 and len(typed) >= FORGIVEN_TWICE:
            # still being typed: of a longer word one wrong letter in its beginning is forgiven
            found.append(LikelyWord(begin, True, word[0] != typed[0], -count, word))
    return sorted(found)[:most]
