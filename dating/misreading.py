"""Noisy-channel model: how likely each mark of the tables is to be read as this reading, by that alone.

Π over letters, symbol, frame and arrangement; what was not looked at counts 1. The numbers are our own.
"""

from collections.abc import Collection
from typing import NamedTuple

from .case import MarkReading
from .constants import (
    FEATURE_MISSED,
    FEATURE_RIGHT,
    FEATURE_WRONG,
    LETTER_WORN,
    MARK_ELSEWHERE,
    PLAIN_WORDS,
    UNTABLED_SHARE,
)
from .edit_distance import Pattern, any_order, at_random, pattern
from .inscription import reads_as
from .library import Reference
from .markindex import BY_CODE
from .tables import Mark

IRRELEVANT = 2e-8  # a mark below this share of the best, or a hundredfold of the unknown one, leaves no trace


class Read(NamedTuple):
    """A mark that may have been read so: its chance by the reading alone, and that times its share."""

    mark: Mark
    chance: float
    score: float


class Reads(NamedTuple):
    """All marks that may have been read so, scores relative to the best; ``unknown``: none of the tables."""

    reads: tuple[Read, ...]
    unknown: float

    @property
    def best_chance(self) -> float:
        """The highest chance of the reading among the marks."""
        return max((r.chance for r in self.reads), default=0.0)


def part_chance(seen: str | None, real: str, nothing: str) -> float:
    """The chance to see this frame, symbol or arrangement where the mark has ``real``."""
    if seen is None:
        return 1.0
    if seen == real:
        return FEATURE_RIGHT
    return FEATURE_MISSED if seen == nothing else FEATURE_WRONG


def unknown_chance(reading: MarkReading, ref: Reference) -> float:
    """The chance that no mark of the tables reads so: letters by the alphabet, the rest by its shares."""
    chance = at_random(pattern(reading.letters)) if reading.letters is not None else 1.0
    if reading.letters and reads_as(reading.letters, ref):
        chance = max(chance, PLAIN_WORDS)
    total = len(ref.marks) or 1
    if reading.letters == "":
        chance *= ref.letterless / total
    for seen, counts in (
        (reading.symbol, ref.symbol_counts),
        (reading.frame, ref.frame_counts),
        (reading.arrangement, ref.arrangement_counts),
    ):
        if seen is not None:
            chance *= counts[seen] / total
    return chance


def candidates(
    reading: MarkReading, ref: Reference, maker: str | None = None, region: str | None = None
) -> Reads:
    """The marks worth weighing, and the unknown one, scores relative to the best.

    An opinion on the maker leaves that maker's marks alone; where there are none, only the unknown mark.
    Marks of another country than the bottle's region count less.
    """
    key = (
        *("reads", reading.letters, reading.symbol, reading.frame, reading.arrangement, reading.only),
        *(maker, region),
    )
    return ref.remember(key, lambda: _candidates(reading, ref, maker, region))


def _candidates(reading: MarkReading, ref: Reference, maker: str | None, region: str | None) -> Reads:
    listed = ref.listed
    unknown = UNTABLED_SHARE * unknown_chance(reading, ref)
    allowed = _allowed(reading, ref, maker)
    if reading.only or (maker and allowed):
        unknown = 0.0
    floor = 100 * IRRELEVANT * unknown
    chances = reading_chances(reading, ref, allowed, floor)
    share = listed.share
    scores = {n: share[n] * chance for n, chance in chances.items()}
    if region:
        for n in scores:
            if not ref.places.mark_fits(listed.marks[n].country, region):
                scores[n] *= MARK_ELSEWHERE
    best = max(scores.values(), default=0.0)
    top = max(unknown, best) or 1.0
    least = max(IRRELEVANT * best, floor)
    reads = [
        Read(listed.marks[n], chances[n], score / top)
        for n, score in scores.items()
        if score > 0 and score >= (least / BY_CODE if listed.coded[n] else least)
    ]
    reads.sort(key=lambda r: (-r.score, r.mark.id))
    return Reads(tuple(reads), unknown / top)


def _allowed(reading: MarkReading, ref: Reference, maker: str | None) -> Collection[int] | None:
    """The numbers of the marks that may be meant, where not all are."""
    if not reading.only and not maker:
        return None
    wanted = maker.casefold() if maker else None
    return {
        n
        for n, mark in enumerate(ref.listed.marks)
        if (not reading.only or mark.id in reading.only) and wanted in (None, mark.maker.casefold())
    }


def reading_chances(
    reading: MarkReading, ref: Reference, allowed: Collection[int] | None = None, floor: float = 0.0
) -> dict[int, float]:
    """Number of a mark → chance of the reading; marks that cannot come to matter may be missing.

    What matters scores (chance × share) at least ``floor`` and is not lost beside the best; a mark with a
    code is let through early, as its code may raise it.
    """
    listed = ref.listed
    parts = [
        part_chance(reading.symbol, symbol, "")
        * part_chance(reading.frame, frame, "none")
        * part_chance(reading.arrangement, arrangement, "plain")
        for symbol, frame, arrangement in listed.figures
    ]
    figure, spelled = listed.figure, listed.spelled
    if reading.letters is None:
        return {n: parts[figure[n]] for n in (range(len(figure)) if allowed is None else allowed)}
    places = pattern(reading.letters)
    found = _by_letters(places, ref, parts, allowed, floor)
    out = {
        n: chance * parts[figure[n]]
        for string, chance in found.items()
        for n in spelled[string]
        if allowed is None or n in allowed
    }
    without = tuple(place for place in places if place != {"8"})  # an 8 may be a worn ampersand
    others: dict[int, float] = {}
    if without and without != places:
        for string, chance in _by_letters(without, ref, parts, allowed, floor).items():
            joined = (n for n in spelled[string] if listed.marks[n].arrangement == "with-ampersand")
            others.update((n, chance * LETTER_WORN) for n in joined)
    others.update((n, any_order(places, listed.marks[n].letters)) for n in listed.one_figure)
    for n, chance in others.items():
        if allowed is None or n in allowed:
            out[n] = max(out.get(n, 0.0), chance * parts[figure[n]])
    return out


def _by_letters(
    places: Pattern, ref: Reference, parts: list[float], allowed: Collection[int] | None, floor: float
) -> dict[str, float]:
    """The chances of the letters alone, by spelling."""
    listed = ref.listed

    def worth(string: str) -> float:
        return max(
            (
                listed.share[n] * parts[listed.figure[n]]
                for n in listed.spelled[string]
                if allowed is None or n in allowed
            ),
            default=0.0,
        )

    raises = listed.raises if allowed is None else listed.raises_of(allowed)
    most = max(parts, default=1.0)
    return listed.spellings.chances(places, raises, worth, most, floor, IRRELEVANT)
