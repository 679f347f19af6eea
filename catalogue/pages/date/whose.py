"""Whose mark it may be, in one line."""

from collections.abc import Sequence

import dating
from catalogue.pages.parts.ranked_marks import in_words

MOST = 3
LEAST = 0.01


def whose(marks: Sequence[dating.MarkShare]) -> list[tuple[str, str]]:
    """The likeliest makers, each with its chance in words; marks of one maker count together."""
    chances: dict[str, float] = {}
    for mark in marks:
        name = mark.maker or "a mark not in the tables"
        chances[name] = chances.get(name, 0.0) + mark.probability
    ranked = sorted(chances.items(), key=lambda pair: (-pair[1], pair[0]))
    return [(name, in_words(chance)) for name, chance in ranked[:MOST] if chance >= LEAST]
