"""Highest-density regions (level sets): the fewest years that hold a given probability, all ties included."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from .constants import PLATEAU, TIE


class Run(NamedTuple):
    """Neighbouring years of a set and the probability that they hold together."""

    start: int
    end: int
    probability: float


def threshold(falling: Sequence[float], mass: float) -> float:
    """The level at which the highest years reach the mass; ``falling``: the probabilities, highest first."""
    reached = bisect_left(list(accumulate(falling)), mass - 1e-12)
    return falling[min(reached, len(falling) - 1)] * (1 - TIE)


def runs(probabilities: Sequence[float], first: int, level: float) -> tuple[Run, ...]:
    """The runs of years at or above the level."""
    inside = [n for n, value in enumerate(probabilities) if value >= level]
    breaks = [k for k in range(1, len(inside)) if inside[k] != inside[k - 1] + 1]
    out = []
    for a, b in zip([0, *breaks], [*breaks, len(inside)], strict=True):
        start, end = inside[a], inside[b - 1]
        out.append(Run(first + start, first + end, sum(probabilities[start : end + 1])))
    return tuple(out)


def level_set(probabilities: Sequence[float], first: int, mass: float) -> tuple[Run, ...]:
    """The highest level set of at least this mass, as runs."""
    return runs(probabilities, first, threshold(sorted(probabilities, reverse=True), mass))


def plateau(probabilities: Sequence[float], first: int) -> tuple[int, ...]:
    """The years that are as good as the highest."""
    level = max(probabilities) * (1 - PLATEAU)
    return tuple([n for n, value in enumerate(probabilities, first) if value >= level])
