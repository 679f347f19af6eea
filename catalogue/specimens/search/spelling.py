"""Wrong letters: words within a small edit distance of what was typed. Pure.

The distance is the optimal string alignment one: a letter wrong, missing or too many, or two neighbours
exchanged, each counts one. What was typed may also be the beginning of a longer word.
"""

from collections.abc import Iterable
from dataclasses import dataclass

# Shorter ones have too many neighbours to say anything; from the second on, two letters may be wrong.
SHORTEST_FORGIVEN, FORGIVEN_TWICE = 4, 6
ASKED_PIECES = 3


def letters_forgiven(word: str) -> int:
    """How many wrong letters of a typed word are forgiven."""
    return (len(word) >= SHORTEST_FORGIVEN) + (len(word) >= FORGIVEN_TWICE)


def edit_distance(typed: str, word: str, most: int) -> tuple[int, int]:
    """Distance to the whole word, and to that beginning of it which is nearest; above `most`: `most` + 1."""
    above = most + 1
    before: list[int] = []
    row = list(range(len(word) + 1))
    for n, letter in enumerate(typed, 1):
        earlier, before, row = before, row, [n]
        for m, other in enumerate(word, 1):
            cost = min(before[m] + 1, row[m - 1] + 1, before[m - 1] + (letter != other))
            if n > 1 and m > 1 and letter == word[m - 2] and typed[n - 2] == other:
                cost = min(cost, earlier[m - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return above, above
    return min(row[-1], above), min(min(row), above)


def pieces_to_ask_for(typed: str) -> list[str]:
    """Parts of a word of which a likely one holds at least one unchanged: two errors can't touch all three.

    (Two letters exchanged across a border of parts touch two: with another error beside it is missed.)
    """
    step, more = divmod(len(typed), ASKED_PIECES)
    pieces, begin = [], 0
    for n in range(ASKED_PIECES):
        end = begin + step + (n < more)
        pieces.append(typed[begin:end])
        begin = end
    return [piece for piece in dict.fromkeys(pieces) if piece]


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
