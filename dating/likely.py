"""Highest level sets: the fewest years that hold a given probability, all ties included."""

from collections.abc import Sequence
from typing import NamedTuple

from .constants import TIE


class Run(NamedTuple):
    """Neighbouring years of a set and the probability that they hold together."""

    start: int
    end: int
    probability: float


def threshold(falling: Sequence[float], mass: float) -> float:
    """The level at which the highest years reach the mass; ``falling`` are the probabilities, highest first."""
    total = 0.0
    for value in falling:
        total += value
        if total >= mass - 1e-12:
            return value * (1 - TIE)
    return 0.0


def runs(probabilities: Sequence[float], first: int, level: float) -> tuple[Run, ...]:
    """The runs of years at or above the level."""
    out: list[Run] = []
    start, total = -1, 0.0
    for n, value in enumerate(probabilities):
        if value >= level:
            if start < 0:
                start, total = n, 0.0
            total += value
        elif start >= 0:
            out.append(Run(first + start, first + n - 1, total))
            start = -1
    if start >= 0:
        out.append(Run(first + start, first + len(probabilities) - 1, total))
    return tuple(out)


def level_set(probabilities: Sequence[float], first: int, mass: float) -> tuple[Run, ...]:
    """The highest level set of at least this mass, as runs."""
    return runs(probabilities, first, threshold(sorted(probabilities, reverse=True), mass))


def plateau(probabilities: Sequence[float], first: int) -> tuple[int, ...]:
    """The years that tie for the highest probability."""
    level = max(probabilities) * (1 - TIE)
    return tuple(first + n for n, value in enumerate(probabilities) if value >= level)
