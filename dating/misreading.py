"""Noisy-channel model: how likely each mark of the tables is to be read as this reading, by that alone.

Π over letters, symbol, frame and arrangement; what was not looked at counts 1. The numbers are our own.
"""

from array import array
from collections.abc import Sequence
from math import floor as floor_of
from math import log
from operator import mul
from typing import NamedTuple

from .case import MarkReading
from .codes import digits_read
from .constants import (
    FEATURE_MISSED,
    FEATURE_RIGHT,
    FEATURE_WRONG,
    LETTER_LOST,
    LETTER_WORN,
    MARK_ELSEWHERE,
    PLAIN_WORDS,
    UNTABLED_SHARE,
)
from .edit_distance import GAP_TOKEN, Pattern, any_order, at_random, pattern
from .inscription import reads_as
from .library import Reference
from .tables import Mark

IRRELEVANT = 6e-8  # a mark below this share of the best, or a hundredfold of the unknown one, leaves no trace


class Reads(NamedTuple):
    """All marks that may have been read so, best first, in columns.

    ``chances`` are those of the reading alone, ``scores`` these times the mark's share, relative to the best;
    ``unknown`` is the score of a mark that is in none of the tables.
    """

    marks: tuple[Mark, ...]
    chances: tuple[float, ...]
    scores: tuple[float, ...]
    unknown: float

    @property
    def best_chance(self) -> float:
        """The highest chance of the reading among the marks."""
        return max(self.chances, default=0.0)


class Weights(NamedTuple):
    """What the chance of the letters counts for, by the number of a mark.

    ``parts`` are the chances of what was seen beside the letters, ``by_mark`` these times the mark's share.
    ``raised`` is what they count at most, as its year code may lift a mark; ``most`` the highest of these.
    """

    parts: list[float]
    by_mark: list[float]
    raised: list[float]
    most: float


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
    raised = 10.0 ** max(digits_read(chars or "") for chars in reading.slots.values())
    beside = (reading.symbol, reading.frame, reading.arrangement, reading.only, maker, region, raised)
    return ref.remember(
        ("reads", reading.letters, *beside),
        lambda: _candidates(
            reading,
            ref,
            bool(reading.only or maker),
            ref.remember(("weights", *beside), lambda: _weights(reading, ref, maker, region, raised)),
        ),
    )


def _candidates(reading: MarkReading, ref: Reference, narrowed: bool, weights: Weights) -> Reads:
    listed = ref.listed
    unknown = UNTABLED_SHARE * unknown_chance(reading, ref)
    # an opinion on the maker counts for nothing where it has no marks; marks that were chosen always do
    if reading.only or (narrowed and any(weights.by_mark)):
        unknown = 0.0
    floor = 100 * IRRELEVANT * unknown
    chances = reading_chances(reading, ref, weights, floor)
    scores = list(map(mul, weights.by_mark, chances))
    best = max(scores, default=0.0)
    least = max(IRRELEVANT * best, floor)
    rank = listed.rank
    found = [
        (-scores[n], rank[n], n)
        for n, at_best in enumerate(map(mul, weights.raised, chances))
        if at_best >= least and scores[n] > 0
    ]
    found.sort()
    top = max(unknown, best) or 1.0
    return Reads(
        tuple([listed.marks[n] for _, _, n in found]),
        tuple([chances[n] * weights.parts[n] for _, _, n in found]),
        tuple([-score / top for score, _, _ in found]),
        unknown / top,
    )


def _weights(
    reading: MarkReading, ref: Reference, maker: str | None, region: str | None, raised: float
) -> Weights:
    listed = ref.listed
    by_figure = [
        part_chance(reading.symbol, symbol, "")
        * part_chance(reading.frame, frame, "none")
        * part_chance(reading.arrangement, arrangement, "plain")
        for symbol, frame, arrangement in listed.figures
    ]
    parts = [by_figure[figure] for figure in listed.figure]
    wanted = maker.casefold() if maker else None
    by_mark = []
    for mark, share, part in zip(listed.marks, listed.share, parts, strict=True):
        if (reading.only and mark.id not in reading.only) or wanted not in (None, mark.maker.casefold()):
            share = 0.0
        if region and not ref.places.mark_fits(mark.country, region):
            share *= MARK_ELSEWHERE
        by_mark.append(share * part)
    lifted = [
        raised * weight if coded else weight for coded, weight in zip(listed.coded, by_mark, strict=True)
    ]
    return Weights(parts, by_mark, lifted, max(lifted, default=0.0))


def reading_chances(
    reading: MarkReading, ref: Reference, weights: Weights, floor: float = 0.0
) -> list[float]:
    """By the number of a mark the chance of the letters; 0 for one that cannot come to matter.

    What matters scores (chance × weight) at least ``floor``, if its year code raises it as far as it may.
    """
    listed = ref.listed
    if reading.letters is None:
        return [1.0] * len(listed.marks)
    if not weights.most:  # an opinion on a maker that has no marks
        return [0.0] * len(listed.marks)
    places = pattern(reading.letters)
    least = _power_below(floor / weights.most)
    by_spelling = _spelled(places, least, ref)
    out = [by_spelling[n] for n in listed.spelling]
    for n, chance in _in_any_order(places, ref, weights, floor).items():
        out[n] = max(out[n], chance)
    without = tuple(place for place in places if place != {"8"})  # an 8 may be a worn ampersand
    if without and without != places:
        by_spelling = _spelled(without, least, ref)
        for n in listed.ampersand:
            out[n] = max(out[n], LETTER_WORN * by_spelling[listed.spelling[n]])
    return out


def _power_below(least: float) -> float:
    """A power of 1000 that is no more, so that readings of the same letters share what was worked out."""
    return 1000.0 ** floor_of(log(least, 1000)) if least > 0 else 0.0


def _spelled(places: Pattern, least: float, ref: Reference) -> Sequence[float]:
    """By the number of a spelling its chance, shared by all readings of these letters."""
    make = ref.listed.spellings.chances
    return ref.remember(("spelled", places, least), lambda: array("d", make(places, least)))


def _in_any_order(places: Pattern, ref: Reference, weights: Weights, least: float) -> dict[int, float]:
    """The chances for marks whose letters are joined into one figure, which have no order."""
    marks, solid = ref.listed.marks, sum(place != GAP_TOKEN for place in places)
    out = {}
    for n in ref.listed.one_figure:
        letters = marks[n].letters
        # what one has more than the other was lost or added
        limit = LETTER_LOST ** abs(solid - len(letters))
        if weights.raised[n] * limit >= least:
            out[n] = any_order(places, letters)
    return out
