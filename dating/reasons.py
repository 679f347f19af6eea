"""Explanation of an answer: reasons, minimal conflicting sets, and a lane of the year ruler for each piece.

A reason's bits are the Kullback–Leibler divergence between the posterior and the posterior without the piece,
so the order plays no part. Conflicts are the smallest groups that cannot all be right, and what each slip
means: intervals that overlap pairwise share a year, so larger groups need a set of code years among them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import log2
from operator import mul, truediv

from .constants import SOFT_CONFLICT
from .evidence import Piece, grouped, together
from .library import Reference
from .window import Bounds, Window, allowed, bounds, guarded, in_words
from .years import Axis, Spans, ends, meet_all, scaled, years_in


@dataclass(frozen=True, slots=True)
class Because:
    """One reason: its evidence and range, its bits, its weight and source, and the window without it."""

    evidence: str
    start: int | None
    end: int | None
    bits: float
    weight: float
    why_weight: str
    source: str
    cut: str
    detail: str
    kind: str
    key: str
    without: Window | None


def divergence(p: Sequence[float], q: Sequence[float]) -> float:
    """Kullback–Leibler divergence of p from q in bits; q is nowhere zero where p is not."""
    if min(p) > 0 and min(q) > 0:
        return float(max(0.0, sum(map(mul, p, map(log2, map(truediv, p, q))))))
    return max(0.0, sum(a * log2(a / b) for a, b in zip(p, q, strict=True) if a > 0 and b > 0))


def because(
    pieces: Sequence[Piece], after: Sequence[float], whole: Bounds, axis: Axis
) -> tuple[Because, ...]:
    """The reasons, most telling first."""
    groups = grouped(pieces)
    joint = [together(group, axis) for group in groups]
    out = []
    for n, group in enumerate(groups):
        for piece in group:
            rest = [other for other in group if other is not piece]
            before = map(truediv, after, joint[n])  # no likelihood is zero
            if rest:
                before = map(mul, before, together(rest, axis))
            left = scaled(list(before))
            bits = divergence(after, left)
            without = guarded(bounds([other for other in pieces if other is not piece], axis), left, axis)
            start, end = ends(piece.support)
            out.append(
                Because(
                    piece.label,
                    start,
                    end,
                    bits,
                    piece.weight,
                    piece.why_weight,
                    piece.source,
                    cut_words(piece, whole, without),
                    piece.detail,
                    piece.kind,
                    piece.key,
                    without.window,
                )
            )
    out.sort(key=lambda reason: (-round(reason.bits, 9), reason.kind, reason.key))
    return tuple(out)


def cut_words(piece: Piece, whole: Bounds, without: Bounds) -> str:
    """What the piece cut off, by what would stand without it."""
    if not piece.bounds:
        return "doubtful: moves the odds, not the window"
    if whole.spans == without.spans:
        return "leaves the window as it is"
    return f"without it: {in_words(without)}"


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


FLAT_WITHIN = 0.01  # heights are drawn a few pixels tall; finer steps cannot be seen


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane: ends None where open, ``years`` where they are separate, ``curve`` (year, height) to draw."""

    label: str
    detail: str
    kind: str
    id: str
    start: int | None
    end: int | None
    years: tuple[int, ...] | None
    curve: tuple[tuple[int, float], ...]
    weight: float
    source: str


def lane(piece: Piece, axis: Axis) -> Lane:
    """The lane of a piece."""
    start, end = ends(piece.support)
    bounded = start is not None and end is not None
    years = years_in(piece.support) if piece.coded and bounded else None
    curve = simplified(piece.heights, axis.first)
    return Lane(
        piece.label, piece.detail, piece.kind, piece.key, start, end, years, curve, piece.weight, piece.source
    )


def simplified(heights: Sequence[float], first: int) -> tuple[tuple[int, float], ...]:
    """Polyline simplification: points left out that a straight line already passes within a hair."""
    keep = [0]
    while keep[-1] < len(heights) - 1:
        keep.append(_reach(heights, keep[-1]))
    return tuple((first + n, round(heights[n], 4)) for n in keep)


def _reach(heights: Sequence[float], start: int) -> int:
    """The farthest point to which a straight line stays within a hair of all between."""
    low, high = float("-inf"), float("inf")
    base = heights[start]
    for n in range(start + 1, len(heights)):
        slope = (heights[n] - base) / (n - start)
        if not low <= slope <= high:
            return n - 1
        low = max(low, (heights[n] - FLAT_WITHIN - base) / (n - start))
        high = min(high, (heights[n] + FLAT_WITHIN - base) / (n - start))
    return len(heights) - 1
