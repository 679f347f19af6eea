"""Names that look like one: another case, `&` for and, shortened words, or one letter that differs. Pure.

Spellings are brought into one form; of those that still differ, two are alike where one deletion on each side
makes them equal (the symmetric deletion of spelling correctors: a table look-up, no comparison of all with
all) and their optimal string alignment distance is 1.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from catalogue.common.text import folded

# Common practice of signs and directories; no source.
SPELLED_SHORT: Final = {
    "and": "&",
    "brothers": "bros",
    "company": "co",
    "limited": "ltd",
    "manufacturing": "mfg",
    "saint": "st",
    "the": "",
}
# In shorter names one letter makes another name.
SHORTEST_MISSPELT: Final = 6
# Of more rows of one name the first are compared: a firm of a thousand towns is no question of spelling.
MOST_OF_A_NAME: Final = 60
_WORDS = re.compile(r"[^\W_]+|&")
_POINTS = re.compile(r"['’.]")


@dataclass(frozen=True, slots=True)
class NamedRow:
    """A row by its key and its name. `beside` tells names apart: rows that both have one, and not the same,
    are two things (towns of two states). `settled`: it is known which thing it is (a town with its
    position, a published maker); two of that sort are two.
    """

    key: int
    name: str
    beside: str = ""
    settled: bool = False


Pairs = list[tuple[NamedRow, NamedRow]]


def spelled_alike(name: str) -> str:
    """One form of all usual spellings: `The Quill & Sons Co.` and `QUILL AND SONS COMPANY` are the same."""
    words = _WORDS.findall(_POINTS.sub("", folded(name)))
    return "".join(SPELLED_SHORT.get(word, word) for word in words)


def look_alikes(rows: Iterable[NamedRow]) -> Pairs:
    """Pairs that may be one thing: first those spelled alike, then those of one other letter; each in the
    order of the rows.
    """
    rows = list(rows)
    spelled = [spelled_alike(row.name) for row in rows]
    near: dict[str, list[int]] = defaultdict(list)
    for n, name in enumerate(spelled):
        for short in {name, *_less_one(name)}:
            near[short].append(n)
    pairs = {
        pair
        for group in near.values()
        for pair in combinations(group[:MOST_OF_A_NAME], 2)
        if _alike(spelled[pair[0]], spelled[pair[1]]) and _may_be_one(rows[pair[0]], rows[pair[1]])
    }
    likest = sorted(pairs, key=lambda pair: (spelled[pair[0]] != spelled[pair[1]], pair))
    return [(rows[one], rows[other]) for one, other in likest]


def by_likeness(name: str, rows: Iterable[NamedRow]) -> list[NamedRow]:
    """Rows that share letters in a row with the name, the likest first (Jaccard of their trigrams)."""
    wanted = _trigrams(spelled_alike(name))
    scored = []
    for row in rows:
        has = _trigrams(spelled_alike(row.name))
        if common := len(wanted & has):
            scored.append((-common / len(wanted | has), row.name, row.key, row))
    return [row for *_, row in sorted(scored)]


def _less_one(name: str) -> set[str]:
    if len(name) < SHORTEST_MISSPELT:
        return set()
    return {name[:n] + name[n + 1 :] for n in range(len(name))}


def _alike(one: str, other: str) -> bool:
    if not one or not other:
        return False
    if one == other:
        return True
    long_enough = min(len(one), len(other)) >= SHORTEST_MISSPELT
    figures = [re.sub(r"\D", "", name) for name in (one, other)]
    return long_enough and figures[0] == figures[1] and _distance(one, other) == 1


def _may_be_one(one: NamedRow, other: NamedRow) -> bool:
    told_apart = one.beside and other.beside and one.beside != other.beside
    return not told_apart and not (one.settled and other.settled)


def _distance(one: Sequence[str], other: Sequence[str]) -> int:
    """Letters lost, added, other ones, or two neighbours that changed places (optimal string alignment)."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        before, last, row = row, before, [i]
        for j, b in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, last[j - 2] + 1)
            row.append(cost)
    return row[-1]


def _trigrams(name: str) -> set[str]:
    padded = f"  {name} "
    return {padded[n : n + 3] for n in range(len(padded) - 2)} if name else set()
