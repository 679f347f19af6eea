"""Posterior: dependent evidence counted once, and a headline that never says more than it holds.

Dependent evidence: pieces that follow from one cause are joined, not counted twice. Members of a family (all
traces of the machine, say) are combined by what they would show together if one followed from the other: the
lowest of their shapes, never the product. Each may still be misread on its own, so the chances of every mix
of right and wrong looks are added up:
L(y) = Σ over sets S of right looks of Π w · Π (1−w)·t̄ · min over S of t(y).
A second look at the same cause thus confirms it, but does not sharpen its years. Which features belong
together stands in ``reference/families.csv``.

Which marks bound the window is decided after the years, by the shares that ``ranking.shares`` shows: marks
that are much less likely than the best bound nothing, and where a mark outside the tables holds too much of
the posterior, the whole reading bounds nothing. A window that holds less than half is not stated: where a
piece or two less leave one that does, it rests on the others.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache, partial
from itertools import accumulate
from operator import truediv
from typing import NamedTuple

from .case import Case, MarkReading
from .constants import HEADLINE_LEAST, NAMED_LEAST, SUPPORT_SHARE, UNKNOWN_SILENCES
from .evidence import Piece, mark_detail, mark_source
from .library import Reference
from .markfactor import Candidate, MarkFactor, mark_factor, support_of
from .ranking import LEAST_SHARE, mass_of, named, shares, whole_mass
from .tables import Mark
from .window import UNDATED, Bounds, bounds, guarded, held, in_words
from .years import EVER, Axis

LONGEST_MAKER = 120  # letters of a maker's name in the phrase, which labels and stored answers must hold
MOST_WEIGHED = 24  # pieces; of more, none is left out
UNLIKELY_TABLED = "more likely a mark that is not in the tables"


class Headline(NamedTuple):
    """What the window rests on after the years, its bounds, and the phrase."""

    pieces: list[Piece]
    bounds: Bounds
    words: Callable[[], str]
    """The phrase, made when it is asked for: who dates many for their windows alone needs none."""


def headline(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> Headline:
    """The guarded headline of all pieces; ``after`` is the posterior.

    Evidence that disagrees as it was read stays said, also where the clash makes a mark unlikely.
    """
    read = bounds(pieces, axis)
    if read.disagree:
        return Headline(list(pieces), read, partial(in_words, read))
    out: list[Piece] = []
    silent: list[Callable[[], str]] = []
    for piece in pieces:
        if piece.reading and piece.bounds:
            others = list(map(truediv, after, piece.likelihood))  # no likelihood is zero
            piece, would = _after_the_years(piece.reading, piece, others, case, axis, ref)
            silent += would
        out.append(piece)
    found = bounds(out, axis)
    # Marks that are likely one by one may share no year: then what was read stands, guarded all the same.
    rests_on, left = (list(pieces), read) if found.disagree else (out, found)
    if left.window and held(left, after, axis) < HEADLINE_LEAST:
        rests_on, left = resting_on_fewer(rests_on, left, after, axis)
    left = guarded(left, after, axis)
    return Headline(rests_on, left, partial(_words, left, silent))


def _words(found: Bounds, silent: Sequence[Callable[[], str]]) -> str:
    """The phrase of a window; without one, of the first mark that says what it would be."""
    if found.window:
        return in_words(found)
    return next(filter(None, (would() for would in silent)), UNDATED)


def _after_the_years(
    reading: MarkReading, piece: Piece, others: Sequence[float], case: Case, axis: Axis, ref: Reference
) -> tuple[Piece, list[Callable[[], str]]]:
    """The piece with the years of the marks that lead after the years; what to say where it dates nothing."""
    factor = mark_factor(reading, case, axis, ref)
    leads, unknown = leading(factor, piece.weight, others)
    if unknown > UNKNOWN_SILENCES:
        would = partial(_would, factor, piece.weight, others)
        detail = f"{piece.detail}; {UNLIKELY_TABLED}" if factor.leading else piece.detail
        return replace(piece, support=EVER, coded=False, detail=detail), [would]
    if leads == factor.leading or piece.copies:
        # where it is a copy, the years say nothing of which mark was copied
        return piece, []
    support, coded = support_of(leads)
    return (
        replace(
            piece,
            support=support,
            coded=coded,
            detail=mark_detail(reading, leads, coded),
            source=mark_source(leads, ref),
        ),
        [],
    )


def _would(factor: MarkFactor, weight: float, others: Sequence[float]) -> str:
    return not_dated_by(shares(factor, weight, others, LEAST_SHARE))


def resting_on_fewer(
    pieces: list[Piece], found: Bounds, after: Sequence[float], axis: Axis
) -> tuple[list[Piece], Bounds]:
    """Where the years that all allow hold too little: those that are left by fewer, if these hold enough.

    Pieces are left out one by one, each time the one without which the rest hold most. Such years are only
    probable, as something that was seen speaks against them.
    """
    bounding = [piece for piece in pieces if piece.bounds and piece.support != EVER]
    rest = bounding
    while 1 < len(rest) <= MOST_WEIGHED:
        tried = [[piece for piece in rest if piece is not one] for one in rest]
        share, number = max((held(bounds(some, axis), after, axis), n) for n, some in enumerate(tried))
        rest = tried[number]
        if share >= HEADLINE_LEAST:
            out = [replace(p, left_out=True) if p in bounding and p not in rest else p for p in pieces]
            return out, replace(bounds(out, axis), probably=True)
    return pieces, found


def leading(
    factor: MarkFactor, weight: float, others: Sequence[float]
) -> tuple[tuple[Candidate, ...], float]:
    """The marks with at least ``SUPPORT_SHARE`` of the best one's share, and the share of the unknown mark.

    ``others`` are prior × all other evidence by year. Nothing is worked out of candidates whose upper limit
    shows that they cannot lead.
    """
    sums = [0.0, *accumulate(others)]
    total = sums[-1]
    best = 0.0
    found: list[tuple[float, int]] = []
    for limit, number in factor.by_limit:
        if limit * total < SUPPORT_SHARE * best:
            break
        mass = mass_of(factor, number, weight, sums, others)
        best = max(best, mass)
        found.append((mass, number))
    # in the candidates' own order, which does not depend on the weights
    kept = sorted(number for mass, number in found if mass >= SUPPORT_SHARE * best > 0)
    unknown = 0.0
    if factor.reads.unknown:
        whole = whole_mass(factor, weight, others, total)
        unknown = mass_of(factor, len(factor.reads.marks), weight, sums, others) / whole
    return tuple(map(factor.candidate, kept)), unknown


def not_dated_by(ranked: Sequence[tuple[float, Candidate]]) -> str:
    """What stands in place of a window: the likeliest maker and its years, where any is likely enough.

    Marks of one maker count together, as the page adds them up; the years are those of its likelier marks.
    """
    by_maker: dict[str, list[tuple[float, tuple[int | None, int | None]]]] = {}
    for share, mark, one in named(ranked):
        by_maker.setdefault(mark.maker, []).append((share, _years_named(mark, one)))
    whole = {maker: sum(share for share, _ in found) for maker, found in by_maker.items()}
    maker = max(whole, key=whole.__getitem__, default="")
    if not maker or whole[maker] < NAMED_LEAST:
        return ""
    best = max(share for share, _ in by_maker[maker])
    ends = [years for share, years in by_maker[maker] if share >= SUPPORT_SHARE * best]
    # open on a side where any of them is
    starts, lasts = [start for start, _ in ends], [last for _, last in ends]
    start = None if None in starts else min(filter(None, starts))
    last = None if None in lasts else max(filter(None, lasts))
    if start is None and last is None:
        return ""
    span = f"{start}" if start == last else f"{start or ''}–{last or ''}"
    return f"not dated by this mark; if it is {maker[:LONGEST_MAKER]}: {span}"


def _years_named(mark: Mark, one: Candidate) -> tuple[int | None, int | None]:
    """The years of a mark where it is the one: cut to those of its code."""
    years = [year for year in one.effect.years if one.shape.at(year) > 0]
    return (years[0], years[-1]) if years else (mark.used_from, mark.used_to)


def grouped(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces by family; one without a family stands alone."""
    groups: dict[object, list[Piece]] = {}
    for number, piece in enumerate(pieces):
        groups.setdefault(piece.family or number, []).append(piece)
    return list(groups.values())


def together(pieces: Sequence[Piece], axis: Axis) -> tuple[float, ...]:
    """The joint likelihood of one family, scaled to a prior mean of 1."""
    return pieces[0].likelihood if len(pieces) == 1 else _together(tuple(pieces), axis)


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=1024)
def _together(pieces: tuple[Piece, ...], axis: Axis) -> tuple[float, ...]:
    means = [axis.mean(piece.heights) for piece in pieces]
    live = [(p.heights, p.weight, m) for p, m in zip(pieces, means, strict=True) if m > 0]
    joint = [
        _joint(sorted((heights[i], weight, mean) for heights, weight, mean in live))
        for i in range(len(axis.prior))
    ]
    total = axis.mean(joint)
    return tuple(value / total for value in joint)


def _joint(looks: list[tuple[float, float, float]]) -> float:
    """One year: looks by rising height; the lowest right one gives the height, all below it are wrong."""
    wrong_below = 1.0
    total = 0.0
    for n, (height, weight, _) in enumerate(looks):
        above = 1.0
        for _, other, mean in looks[n + 1 :]:
            above *= other + (1.0 - other) * mean
        total += height * weight * wrong_below * above
        wrong_below *= (1.0 - looks[n][1]) * looks[n][2]
    return total + wrong_below
