"""Case-based ranking: which tool to try, softest first, then what worked on pieces like it. Pure.

What counts as alike, and the rule of the bore (a tool must go through the neck), are our own.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from catalogue.common.quantities import LENGTH, Units, as_read

LEAST_LIKENESS = 0.5


@dataclass(frozen=True, slots=True)
class PieceTraits:
    """What bears on the choice; None or empty where it is not known. `units`: how the bore is said."""

    bore_mm: float | None = None
    capacity_ml: float | None = None
    kind: str = ""
    held: str = ""
    decorated: bool = False
    units: Units = Units.METRIC

    @property
    def bore_words(self) -> str:
        return as_read(self.bore_mm or 0, LENGTH, self.units)


@dataclass(frozen=True, slots=True)
class KitTool:
    """One tool; `softness` counts from 1, the softest. The bore it needs is from–to in mm."""

    key: int
    softness: int
    rough: bool = False
    inside: bool = False
    bore_from_mm: float | None = None
    bore_to_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ToolCase:
    """A tool used on a piece: 1 where it worked, 0.5 where it helped, 0 where it did nothing."""

    tool: int
    piece: PieceTraits
    worked: float


@dataclass(frozen=True, slots=True)
class RankedTool:
    """A tool with what speaks for it; `cases` pieces like this one, of which it worked on `worked`.

    `here` is what it was worth on this very piece, None where it was not tried.
    """

    tool: KitTool
    fits: bool
    worked: float
    cases: int
    words: str
    here: float | None = None

    @property
    def no_use(self) -> bool:
        """Whether it was tried on this piece and did nothing."""
        return self.here == 0


def rank(
    tools: Iterable[KitTool],
    cases: Iterable[ToolCase],
    piece: PieceTraits,
    *,
    here: Mapping[int, float] = MappingProxyType({}),
) -> list[RankedTool]:
    """Those that may touch the piece: softest first, then by how often they worked on pieces like it.

    Rough ones are left out where the piece is decorated; those that did nothing on this piece come after the
    others (`here`: by tool, what its last go at this piece was worth), those that don't go through the neck
    last.
    """
    like = [case for case in cases if likeness(case.piece, piece) >= LEAST_LIKENESS]
    ranked = [
        _ranked(tool, like, piece, here.get(tool.key))
        for tool in tools
        if not (tool.rough and piece.decorated)
    ]
    return sorted(
        ranked, key=lambda r: (not r.fits, r.no_use, r.tool.softness, -_rate(r), -r.cases, r.tool.key)
    )


def start_with(ranked: Sequence[RankedTool]) -> RankedTool | None:
    """The softest that worked on this piece, else on at least half of the pieces like it, else the softest.

    One that did nothing on this piece is passed over; None where all that fit did nothing.
    """
    fitting = [each for each in ranked if each.fits and not each.no_use]
    helped = [each for each in fitting if each.here]
    proven = [each for each in fitting if each.cases and _rate(each) >= 0.5]
    return next(iter(helped or proven or fitting), None)


def likeness(a: PieceTraits, b: PieceTraits) -> float:
    """Share of what is known of both in which they agree: bore within a quarter, capacity within a half,
    the same kind of vessel, the same contents."""
    marks = []
    if a.bore_mm and b.bore_mm:
        marks.append(abs(a.bore_mm - b.bore_mm) <= 0.25 * max(a.bore_mm, b.bore_mm))
    if a.capacity_ml and b.capacity_ml:
        marks.append(max(a.capacity_ml, b.capacity_ml) <= 1.5 * min(a.capacity_ml, b.capacity_ml))
    if a.kind and b.kind:
        marks.append(a.kind == b.kind)
    if a.held and b.held:
        marks.append(a.held == b.held)
    return sum(marks) / len(marks) if marks else 0.0


HERE_WORDS = {0.0: "no use on this piece", 0.5: "helped on this piece", 1.0: "worked on this piece"}


def _ranked(tool: KitTool, like: Sequence[ToolCase], piece: PieceTraits, here: float | None) -> RankedTool:
    mine = [case.worked for case in like if case.tool == tool.key]
    fits = goes_in(tool, piece.bore_mm)
    if mine:
        good = sum(1 for worked in mine if worked >= 0.5)
        words = f"worked on {good} of {len(mine)} piece{'s' if len(mine) > 1 else ''} like it"
    elif tool.inside and piece.bore_mm is None:
        words = "no case yet; measure the bore to see whether it goes in"
    elif tool.inside:
        words = f"no case yet; by the bore ({piece.bore_words})"
    else:
        words = "no case yet"
    if not fits:
        words = f"does not suit a bore of {piece.bore_words}"
    if here is not None:
        words = f"{HERE_WORDS[here]}; {words}" if mine or not fits else HERE_WORDS[here]
    return RankedTool(tool, fits, sum(mine), len(mine), words, here)


def goes_in(tool: KitTool, bore_mm: float | None) -> bool:
    """By the bore alone; a tool for the outside always suits."""
    if not tool.inside or bore_mm is None:
        return True
    return (tool.bore_from_mm or 0) <= bore_mm <= (tool.bore_to_mm or float("inf"))


def _rate(ranked: RankedTool) -> float:
    return ranked.worked / ranked.cases if ranked.cases else 0.0
