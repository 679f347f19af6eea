"""Minimal conflicting sets: the smallest groups that cannot all be right, and what each slip means.

Intervals that overlap pairwise share a year, so larger groups need a set of code years among them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import mul

from .axis import Axis
from .constants import SOFT_CONFLICT
from .evidence import Piece
from .library import Reference
from .spans import Spans, ends, meet_all, years_in
from .window import allowed

MOST_GROUPS = 60  # beyond that no one reads on
GROUP_SIZES = ((12, 6), (24, 4), (60, 3))  # up to so many pieces, groups of so many are sought


@dataclass(frozen=True, slots=True)
class Branch:
    """What the rest says if one piece is wrong."""

    without: str
    start: int | None
    end: int | None
    years: tuple[int, ...] | None
    words: str


@dataclass(frozen=True, slots=True)
class Conflict:
    """A group that cannot all be right. ``kind``: dates, excluded, or soft (they hardly overlap)."""

    between: tuple[str, ...]
    why: str
    branches: tuple[Branch, ...]
    kind: str
    keys: tuple[str, ...]


def conflicts(
    pieces: Sequence[Piece], axis: Axis, ref: Reference, recovered: int | None
) -> tuple[Conflict, ...]:
    """Every minimal group, hard ones first."""
    pieces = list(pieces)
    late = [piece for piece in pieces if not allowed([piece], axis)]
    rest = [piece for piece in pieces if piece not in late]
    found = [_too_late(piece, pieces, axis, recovered) for piece in late]
    groups = minimal_groups([piece.support for piece in rest])
    clashing = {frozenset(p.key for p in (rest[i] for i in g)): [rest[i] for i in g] for g in groups}
    for pair in combinations(pieces, 2):
        excluded = ref.excluded.get(frozenset(piece.key for piece in pair))
        if excluded and all(piece.kind == "feature" for piece in pair):
            clashing.pop(frozenset(piece.key for piece in pair), None)
            found.append(_conflict(pair, pieces, axis, "excluded", excluded.why))
    for group in clashing.values():
        found.append(_conflict(group, pieces, axis, "dates", _why(group)))
    hard = {frozenset(conflict.keys) for conflict in found}
    for pair in combinations(rest[:MOST_GROUPS], 2):
        keys = frozenset(piece.key for piece in pair)
        same = pair[0].family and pair[0].family == pair[1].family
        if keys not in hard and not same and _quarrel(*pair):
            why = "they hardly overlap: where one was usual the other was rare"
            found.append(_conflict(pair, pieces, axis, "soft", why))
    return tuple(found)


def minimal_groups(supports: Sequence[Spans]) -> list[tuple[int, ...]]:
    """Index groups whose supports share no year though those of every smaller group within them do."""
    found: list[tuple[int, ...]] = []
    if meet_all(supports):
        return found
    indices = range(len(supports))
    for pair in combinations(indices, 2):
        if len(found) < MOST_GROUPS and not meet_all(supports[i] for i in pair):
            found.append(pair)
    gappy = {i for i in indices if len(supports[i]) > 1}
    largest = next((size for pieces, size in GROUP_SIZES if len(supports) <= pieces), 2)
    for size in range(3, min(len(supports), largest) + 1):
        if not gappy or len(found) >= MOST_GROUPS:
            break
        for group in combinations(indices, size):
            if not gappy & set(group) or any(set(smaller) <= set(group) for smaller in found):
                continue
            if not meet_all(supports[i] for i in group):
                found.append(group)
    return found


def _quarrel(a: Piece, b: Piece) -> bool:
    return 0 < max(map(mul, a.heights, b.heights), default=0.0) < SOFT_CONFLICT


def _years(piece: Piece) -> str:
    return span_words(piece.support)


def span_words(spans: Spans) -> str:
    """A set of years in words."""
    start, end = ends(spans)
    if not spans:
        return "no year"
    if start is None and end is None:
        return "any year"
    if start is None or end is None:
        return f"to {end}" if start is None else f"{start} on"
    if len(spans) > 1:
        years = years_in(spans)
        if len(years) <= 12:
            return ", ".join(map(str, years))
        return ", ".join(f"{a}–{b}" if a < b else f"{a}" for a, b in spans)
    return f"{start}–{end}" if start < end else f"{start}"


def _why(group: Sequence[Piece]) -> str:
    words = "; ".join(f"{piece.label}: {_years(piece)}" for piece in group)
    doubtful = [piece.label for piece in group if not piece.bounds]
    note = f" ({', '.join(doubtful)} was a doubtful look)" if doubtful else ""
    return f"no year fits all: {words}{note}"


def _too_late(piece: Piece, pieces: Sequence[Piece], axis: Axis, recovered: int | None) -> Conflict:
    when = f"recovered in {recovered}" if recovered is not None else f"nothing is made after {axis.last}"
    others = [other for other in pieces if other is not piece]
    return Conflict(
        (piece.label, when),
        f"{piece.label} means {_years(piece)}, which is outside what is possible ({when})",
        (_branch(piece, [o for o in others if o.bounds], axis),),
        "dates",
        (piece.key,),
    )


def _conflict(group: Sequence[Piece], pieces: Sequence[Piece], axis: Axis, kind: str, why: str) -> Conflict:
    branches = []
    for wrong in group:
        kept = [p for p in pieces if p is not wrong and (p.bounds or p in group)]
        if not allowed(kept, axis):  # other conflicts stand in the way: ask this group alone
            kept = [p for p in group if p is not wrong]
        branches.append(_branch(wrong, kept, axis))
    return Conflict(tuple(p.label for p in group), why, tuple(branches), kind, tuple(p.key for p in group))


def _branch(wrong: Piece, kept: Sequence[Piece], axis: Axis) -> Branch:
    spans = allowed(kept, axis)
    start, end = ends(spans)
    years = None
    if spans and any(p.coded for p in kept) and start is not None and end is not None:
        listed = years_in(spans)
        years = listed if len(listed) > 1 else None
    return Branch(wrong.label, start, end, years, f"if {wrong.label} is misread: {span_words(spans)}")
