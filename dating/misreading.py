"""How likely each mark of the tables is to be read as this reading, by the reading alone.

Π over letters, symbol, frame and arrangement; what was not looked at counts 1. The numbers are our own.
"""

from dataclasses import dataclass

from .constants import (
    FEATURE_MISSED,
    FEATURE_RIGHT,
    FEATURE_WRONG,
    LETTER_WORN,
    UNTABLED_SHARE,
)
from .letters import any_order, at_random, pattern
from .library import Reference
from .readings import MarkReading
from .rows import Mark

IRRELEVANT = 1e-7  # a mark below this share of the best, or a hundredfold of the unknown one, leaves no trace
ONE_FIGURE = ("monogram", "interlaced")
BY_CODE = 1e4  # unless a year code of four digits lifts it


@dataclass(frozen=True, slots=True)
class Read:
    """A mark that may have been read so: its chance by the reading alone, and that times its share."""

    mark: Mark
    chance: float
    score: float


@dataclass(frozen=True, slots=True)
class Reads:
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


def reading_chances(reading: MarkReading, ref: Reference) -> dict[str, float]:
    """Mark id → chance of the reading."""
    spelled = _spelled(reading.letters, ref)
    places = pattern(reading.letters or "")
    symbol = {s: part_chance(reading.symbol, s, "") for s in ref.symbol_counts}
    frame = {f: part_chance(reading.frame, f, "none") for f in ref.frame_counts}
    arrangement = {a: part_chance(reading.arrangement, a, "plain") for a in ref.arrangement_counts}
    out = {}
    for mark in ref.marks.values():
        chance = symbol[mark.symbol] * frame[mark.frame] * arrangement[mark.arrangement]
        if spelled is not None:
            plain, joined = spelled
            letters = plain[mark.letters]
            if joined is not None and mark.arrangement == "with-ampersand":
                letters = max(letters, joined[mark.letters] * LETTER_WORN)
            if mark.arrangement in ONE_FIGURE:
                letters = max(letters, any_order(places, mark.letters))
            chance *= letters
        out[mark.id] = chance
    return out


def _spelled(letters: str | None, ref: Reference) -> tuple[dict[str, float], dict[str, float] | None] | None:
    """Chances by spelling; the second with an 8 left out, which may be a worn ampersand."""
    if letters is None:
        return None
    places = pattern(letters)
    without = tuple(p for p in places if p != {"8"})
    joined = ref.spellings.chances(without) if without and without != places else None
    return ref.spellings.chances(places), joined


def unknown_chance(reading: MarkReading, ref: Reference) -> float:
    """The chance that a mark at random reads so: letters by the alphabet, the rest by the tables' shares."""
    chance = at_random(pattern(reading.letters)) if reading.letters is not None else 1.0
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


def candidates(reading: MarkReading, ref: Reference, maker: str | None = None) -> Reads:
    """The marks worth weighing, and the unknown one, scores relative to the best.

    An opinion on the maker leaves that maker's marks alone; where there are none, only the unknown mark.
    """
    key = ("reads", reading.letters, reading.symbol, reading.frame, reading.arrangement, reading.only, maker)
    return ref.remember(key, lambda: _candidates(reading, ref, maker))


def _candidates(reading: MarkReading, ref: Reference, maker: str | None) -> Reads:
    chances = reading_chances(reading, ref)
    unknown = UNTABLED_SHARE * unknown_chance(reading, ref)
    allowed = set(reading.only) or chances.keys()
    if maker:
        allowed = {i for i in allowed if ref.marks[i].maker.casefold() == maker.casefold()}
    scores = {i: ref.share[i] * chances[i] for i in ref.marks if i in allowed}
    if reading.only or (maker and scores):
        unknown = 0.0
    top = max([unknown, *scores.values()]) or 1.0
    least = max(IRRELEVANT * max(scores.values(), default=0.0), 100 * IRRELEVANT * unknown)
    reads = [
        Read(ref.marks[i], chances[i], score / top)
        for i, score in scores.items()
        if score > 0 and score >= (least / BY_CODE if i in ref.codes_of else least)
    ]
    reads.sort(key=lambda r: (-r.score, r.mark.id))
    return Reads(tuple(reads), unknown / top)
