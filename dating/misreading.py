"""Noisy-channel model: how likely each mark of the tables is to be read as this reading, by that alone.

Π over letters, symbol, frame and arrangement; what was not looked at counts 1. The numbers are our own.
"""

from collections.abc import Mapping
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
    """What the chance of the letters counts for, by the number of a mark and by spelling.

    ``parts`` are the chances of what was seen beside the letters, ``by_mark`` these times the mark's share.
    ``raised`` is how much its year code may lift a mark at most.
    """

    parts: list[float]
    by_mark: list[float]
    raised: list[float]
    by_spelling: list[float]
    raised_by_spelling: list[float]


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
    by_mark, raised, rank = weights.by_mark, weights.raised, listed.rank
    best = max([by_mark[n] * chance for n, chance in chances.items()], default=0.0)
    least = max(IRRELEVANT * best, floor)
    found = [
        (-score, rank[n], n)
        for n, chance in chances.items()
        if (score := by_mark[n] * chance) * raised[n] >= least and score > 0
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
    lifted = [raised if coded else 1.0 for coded in listed.coded]
    numbers = [listed.spelled[string] for string in listed.spellings.strings]
    return Weights(
        parts,
        by_mark,
        lifted,
        [max(by_mark[n] for n in each) for each in numbers],
        [max(by_mark[n] * lifted[n] for n in each) for each in numbers],
    )


def reading_chances(
    reading: MarkReading, ref: Reference, weights: Weights, floor: float = 0.0
) -> dict[int, float]:
    """Number of a mark → chance of the letters; marks that cannot come to matter may be missing.

    What matters scores (chance × weight) at least ``floor`` and is not lost beside the best, if its year code
    raises it as far as it may.
    """
    listed = ref.listed
    if reading.letters is None:
        return dict.fromkeys(range(len(listed.marks)), 1.0)
    places = pattern(reading.letters)
    spelled = listed.spelled
    by_letters = _by_letters(places, ref, weights, floor)
    out = {n: chance for string, chance in by_letters.items() for n in spelled[string]}
    best = max([weights.by_mark[n] * chance for n, chance in out.items()], default=0.0)
    others = _in_any_order(places, ref, weights, max(floor, IRRELEVANT * best))
    without = tuple(place for place in places if place != {"8"})  # an 8 may be a worn ampersand
    if without and without != places:
        for string, chance in _by_letters(without, ref, weights, floor).items():
            joined = (n for n in spelled[string] if listed.marks[n].arrangement == "with-ampersand")
            others.update((n, chance * LETTER_WORN) for n in joined)
    for n, chance in others.items():
        out[n] = max(out.get(n, 0.0), chance)
    return out


def _by_letters(places: Pattern, ref: Reference, weights: Weights, floor: float) -> Mapping[str, float]:
    """The chances of the letters alone, by spelling."""
    return ref.listed.spellings.chances(
        places, weights.by_spelling, weights.raised_by_spelling, floor, IRRELEVANT
    )


def _in_any_order(places: Pattern, ref: Reference, weights: Weights, least: float) -> dict[int, float]:
    """The chances for marks whose letters are joined into one figure, which have no order."""
    marks, solid = ref.listed.marks, sum(place != GAP_TOKEN for place in places)
    out = {}
    for n in ref.listed.one_figure:
        letters = marks[n].letters
        # what one has more than the other was lost or added
        limit = LETTER_LOST ** abs(solid - len(letters))
        if weights.by_mark[n] * weights.raised[n] * limit >= least:
            out[n] = any_order(places, letters)
    return out
