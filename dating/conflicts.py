"""Evidence that cannot all be right: minimal conflicting sets, and the minimal correction sets of it.

Conflicts are the smallest groups that share no year: intervals that overlap pairwise share a year, so larger
groups need a set of code years among them. A correction is a smallest set of pieces without which the rest
leaves years. Both are exact: the pieces that do not allow a year are a correction wherever no other year asks
for less (Reiter 1987, diagnoses; here read off the years directly), together with one of each excluded pair.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from operator import mul

from .constants import SOFT_CONFLICT
from .evidence import BOUNDING, Piece
from .library import Reference
from .window import allowed, span_words
from .years import OPEN_LOW, Axis, Spans, ends, meet_all, years_in

MOST_GROUPS = 60  # beyond that no one reads on
GROUP_SIZES = ((12, 6), (24, 4), (60, 3))  # up to so many pieces, groups of so many are sought


@dataclass(frozen=True, slots=True)
class Conflict:
    """A group that cannot all be right. ``kind``: dates, excluded, or soft (they hardly overlap)."""

    between: tuple[str, ...]
    why: str
    kind: str
    keys: tuple[str, ...]


def conflicts(
    pieces: Sequence[Piece], axis: Axis, ref: Reference, recovered: int | None
) -> tuple[Conflict, ...]:
    """Every minimal group, hard ones first."""
    pieces = list(pieces)
    late = [piece for piece in pieces if not allowed([piece], axis)]
    rest = [piece for piece in pieces if piece not in late]
    found = [_too_late(piece, axis, recovered) for piece in late]
    groups = minimal_groups([piece.support for piece in rest])
    clashing = {frozenset(p.key for p in (rest[i] for i in g)): [rest[i] for i in g] for g in groups}
    for pair in combinations(pieces, 2):
        excluded = ref.excluded.get(frozenset(piece.key for piece in pair))
        if excluded and all(piece.kind == "feature" for piece in pair):
            clashing.pop(frozenset(piece.key for piece in pair), None)
            found.append(_conflict(pair, "excluded", excluded.why))
    for group in clashing.values():
        found.append(_conflict(group, "dates", _why(group)))
    hard = {frozenset(conflict.keys) for conflict in found}
    for pair in combinations(rest[:MOST_GROUPS], 2):
        keys = frozenset(piece.key for piece in pair)
        same = pair[0].family and pair[0].family == pair[1].family
        if keys not in hard and not same and _quarrel(*pair):
            why = "they hardly overlap: where one was usual the other was rare"
            found.append(_conflict(pair, "soft", why))
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


def _why(group: Sequence[Piece]) -> str:
    """Their years in their order: the names stand before it in ``between``."""
    *most, last = map(_years, group)
    doubtful = [piece.label for piece in group if piece.certainty not in BOUNDING]
    note = f" ({', '.join(doubtful)} was a doubtful look)" if doubtful else ""
    return f"{'; '.join(most)} and {last}: no year fits {'both' if len(group) == 2 else 'all'}{note}"


def _too_late(piece: Piece, axis: Axis, recovered: int | None) -> Conflict:
    when = f"recovered in {recovered}" if recovered is not None else f"nothing is made after {axis.last}"
    return Conflict(
        (piece.label, when),
        f"{piece.label} means {_years(piece)}, which is outside what is possible ({when})",
        "dates",
        (piece.key,),
    )


def _conflict(group: Sequence[Piece], kind: str, why: str) -> Conflict:
    return Conflict(tuple(p.label for p in group), why, kind, tuple(p.key for p in group))


MOST_CORRECTIONS = 6  # shown; beyond that no one reads on
MOST_PAIRS = 8  # excluded pairs that are weighed against each other


@dataclass(frozen=True, slots=True)
class Correction:
    """A smallest set of pieces without which years are left, and these; ``years`` where they are separate."""

    without: tuple[str, ...]
    start: int | None
    end: int | None
    years: tuple[int, ...] | None
    words: str


def corrections(pieces: Sequence[Piece], axis: Axis, ref: Reference) -> tuple[Correction, ...]:
    """Every minimal correction, those of the fewest pieces first; none where all can be right together."""
    pairs = [
        (i, j)
        for (i, one), (j, other) in combinations(enumerate(pieces), 2)
        if one.kind == other.kind == "feature" and frozenset((one.key, other.key)) in ref.excluded
    ][:MOST_PAIRS]
    wrong = _minimal(
        against | set(chosen)
        for against in _against([piece.support for piece in pieces], axis)
        for chosen in product(*(pair for pair in pairs if not against & set(pair)))
    )
    found = []
    for some in wrong if wrong != [frozenset()] else []:
        rest = [piece for n, piece in enumerate(pieces) if n not in some]
        labels = tuple(dict.fromkeys(piece.label for n, piece in enumerate(pieces) if n in some))
        found.append(_correction(labels, rest, axis))
    found.sort(key=lambda one: (len(one.without), one.without))
    return tuple(found)


def _against(supports: Sequence[Spans], axis: Axis) -> set[frozenset[int]]:
    """For every stretch of years between the ends of supports: the pieces that do not allow it."""
    edges = {OPEN_LOW, *(edge for spans in supports for low, high in spans for edge in (low, high + 1))}
    return {
        frozenset(n for n, spans in enumerate(supports) if not any(a <= edge <= b for a, b in spans))
        for edge in edges
        if edge <= axis.last
    }


def _minimal(sets: Iterable[frozenset[int] | set[int]]) -> list[frozenset[int]]:
    """Those that hold no other one."""
    found: list[frozenset[int]] = []
    for one in sorted({frozenset(each) for each in sets}, key=len):
        if not any(smaller <= one for smaller in found):
            found.append(one)
    return found


def _correction(labels: tuple[str, ...], rest: Sequence[Piece], axis: Axis) -> Correction:
    spans = allowed(rest, axis)
    start, end = ends(spans)
    years = None
    if any(piece.coded for piece in rest) and start is not None and end is not None:
        listed = years_in(spans)
        years = listed if len(listed) > 1 else None
    return Correction(labels, start, end, years, f"{_misread(labels)}: {span_words(spans)}")


def _misread(labels: Sequence[str]) -> str:
    *most, last = labels
    if not most:
        return f"{last} is misread"
    both = "both are" if len(most) == 1 else "all are"
    return f"{', '.join(most)} and {last} {both} misread"


def correction_words(found: Sequence[Correction]) -> str:
    """All of them as one statement; empty where there is nothing to correct."""
    if not found:
        return ""
    if len(found) == 1:
        return f"{found[0].words}."
    shown = [one.words for one in found[:MOST_CORRECTIONS]]
    more = len(found) - len(shown)
    rest = f"; or {more} other way{'s' if more > 1 else ''} of more slips" if more else ""
    return f"Either {'; or '.join(shown)}{rest}."
