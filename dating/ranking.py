"""Posterior probability of each mark and maker: given everything, or by its reading as one types."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from operator import mul, truediv
from typing import TYPE_CHECKING

from .case import Case, MarkReading, read_mark_reading
from .codes import works_named
from .constants import CERTAINTY, LETTER_RIGHT, TIE, TURNED
from .edit_distance import chance, pattern, turned
from .evidence import Piece
from .library import Reference
from .markfactor import Candidate, MarkFactor, mark_factor
from .tables import Mark
from .window import DISAGREE
from .years import Axis, axis_to

if TYPE_CHECKING:
    from .assess import Finding

RANKED_SHOWN = 20
LEAST_SHARE = 5e-4
NOT_TABLED = "a mark not in the tables"
OTHERS_TABLED = "another mark of the tables"


def whole_mass(factor: MarkFactor, weight: float, others: Sequence[float], total: float) -> float:
    """What the shares of all candidates are parts of; ``total`` is the sum of the other evidence."""
    right = weight * factor.top * sum(map(mul, others, factor.heights))
    return float(right + (1 - weight) * total * factor.alone)


def mass_of(
    factor: MarkFactor, number: int, weight: float, sums: Sequence[float], others: Sequence[float]
) -> float:
    """The part of the candidate of a number; ``sums`` are the running sums of the other evidence.

    With the chance 1 − w that the reading is wrong the years tell nothing about the mark.
    """
    part, score = factor.parts[number], factor.score(number)
    return weight * (score * part.mass(sums, others)) + (1 - weight) * (score * part.alone) * sums[-1]


def shares(
    factor: MarkFactor, weight: float, others: Sequence[float], least: float = 0.0
) -> list[tuple[float, Candidate]]:
    """The probability of each candidate given everything, most probable first.

    ``others`` are prior × all other evidence by year. Candidates that cannot reach ``least`` are left out.
    """
    sums = [0.0, *accumulate(others)]
    total = sums[-1]
    whole = whole_mass(factor, weight, others, total)
    if whole <= 0:  # used in none of the years at all: the reading alone must tell
        everyone = factor.candidates
        scores = sum(one.score for one in everyone)
        return sorted(((one.score / scores, one) for one in everyone), key=_rank)
    numbers = [number for limit, number in factor.by_limit if limit * total >= least * whole]
    if factor.reads.unknown:
        numbers.append(len(factor.reads.marks))
    out = []
    for number in numbers:
        mass = mass_of(factor, number, weight, sums, others)
        out.append((mass / whole, factor.candidate(number)))
    out.sort(key=_rank)
    return out


def _rank(pair: tuple[float, Candidate]) -> tuple[float, str]:
    return -pair[0], pair[1].mark.id if pair[1].mark else ""


def named(
    ranked: Sequence[tuple[float, Candidate]], least: float = LEAST_SHARE
) -> list[tuple[float, Mark, Candidate]]:
    """The marks likely enough to be named one by one; a maker's share is the sum of its own among them."""
    return [(p, c.mark, c) for p, c in ranked if c.mark and p >= least]


@dataclass(frozen=True, slots=True)
class MarkShare:
    """A mark it may be and its probability given everything; ``id`` None: the others, or the unknown one."""

    id: str | None
    maker: str
    probability: float
    used: tuple[int | None, int | None] | None
    place: str = ""
    reading: int = 0
    works: tuple[str, ...] = ()


def mark_shares(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[MarkShare, ...]:
    """The candidates of every reading, most probable first, then the other marks and the unknown one."""
    out: list[MarkShare] = []
    for number, reading in enumerate(case.marks):
        out += _shares_of_reading(number, reading, case, pieces, after, axis, ref)
    return tuple(out)


def _shares_of_reading(
    number: int,
    reading: MarkReading,
    case: Case,
    pieces: Sequence[Piece],
    after: Sequence[float],
    axis: Axis,
    ref: Reference,
) -> list[MarkShare]:
    factor = mark_factor(reading, case, axis, ref)
    mine = next(piece for piece in pieces if piece.kind == "mark" and piece.key == repr(reading))
    others = list(map(truediv, after, mine.likelihood))  # all but this reading; no likelihood is zero
    ranked = shares(factor, mine.weight, others, LEAST_SHARE)
    # where none can matter, the likeliest is named all the same
    known = named(ranked) or named(shares(factor, mine.weight, others), 0.0)[:1]
    out = [_mark_share(p, mark, c, reading, number) for p, mark, c in known]
    unknown = sum(p for p, c in ranked if not c.mark)
    rest = 1.0 - unknown - sum(share.probability for share in out)
    if rest > 1e-12 and factor.reads.marks:
        out.append(MarkShare(None, OTHERS_TABLED, rest, None, "", number))
    if unknown > 0:
        out.append(MarkShare(None, NOT_TABLED, unknown, None, "", number))
    return out


def _mark_share(
    probability: float, mark: Mark, candidate: Candidate, reading: MarkReading, number: int
) -> MarkShare:
    chars = [c for c in reading.slots.values() if c]
    works = [w for code in candidate.effect.codes for c in chars for w in works_named(code, c)]
    used = (mark.used_from, mark.used_to)
    return MarkShare(mark.id, mark.maker, probability, used, mark.place, number, tuple(dict.fromkeys(works)))


@dataclass(frozen=True, slots=True)
class RankedMark:
    """A mark with its probability; marks that coincide, or are exactly as likely, share a rank (``tied``)."""

    mark: Mark
    probability: float
    rank: int
    tied: bool
    reading: MarkReading
    candidate: Candidate
    years: tuple[int | None, int | None] | None

    @property
    def why(self) -> tuple[str, ...]:
        """Why it fits or does not, part by part."""
        return reasons(self.reading, self.mark, self.candidate, self.years)


def rank_marks(
    reading: Mapping[str, object] | MarkReading,
    ref: Reference,
    years: tuple[int | None, int | None] | None = None,
    *,
    limit: int = RANKED_SHOWN,
    this_year: int | None = None,
) -> tuple[RankedMark, ...]:
    """The marks it may be, most probable first; ``years`` (from, to) from other evidence re-rank them.

    ``reading`` has the keys of one mark of a case. Raises CaseError. An empty reading ranks nothing.
    """
    read = reading if isinstance(reading, MarkReading) else read_mark_reading(dict(reading), "mark", ref)
    if read is None:
        return ()
    case = Case(marks=(read,), this_year=this_year or date.today().year)
    axis = axis_to(case.last_year)
    factor = mark_factor(read, case, axis, ref)
    weight = CERTAINTY[read.certainty]
    listed = [(p, c) for p, c in shares(factor, weight, _others(years, weight, axis)) if c.mark and p > 0]
    groups: dict[tuple[str, ...], list[tuple[float, Candidate]]] = {}
    for pair in listed:
        groups.setdefault(_columns(pair[1].mark), []).append(pair)
    sets: list[list[tuple[float, Candidate]]] = []
    for members in groups.values():
        if sets and members[0][0] >= sets[-1][0][0] * (1 - TIE):
            sets[-1] += members
        else:
            sets.append(members)
    ranked = [
        RankedMark(c.mark, p, rank, len(members) > 1, read, c, years)
        for rank, members in enumerate(sets, 1)
        for p, c in members
        if c.mark
    ]
    return tuple(ranked[:limit])


def _columns(mark: Mark | None) -> tuple[str, ...]:
    assert mark is not None
    return (mark.letters, mark.symbol, mark.frame, mark.arrangement)


def _others(years: tuple[int | None, int | None] | None, weight: float, axis: Axis) -> list[float]:
    """Prior × a box of years, softened as any certain piece is."""
    if years is None:
        return list(axis.prior)
    low, high = years
    box = [(low is None or y >= low) and (high is None or y <= high) for y in axis.years]
    mean = sum(p for p, inside in zip(axis.prior, box, strict=True) if inside)
    return [
        p * ((weight if inside else 0.0) + (1 - weight) * mean)
        for p, inside in zip(axis.prior, box, strict=True)
    ]


def reasons(
    read: MarkReading, mark: Mark, candidate: Candidate, years: tuple[int | None, int | None] | None
) -> tuple[str, ...]:
    """Why a mark fits or does not, part by part."""
    out = []
    if read.letters is not None:
        out.append(_letters(read.letters, mark))
    for name, seen, real, nothing in (
        ("frame", read.frame, mark.frame, "none"),
        ("sign", read.symbol, mark.symbol, ""),
        ("arrangement", read.arrangement, mark.arrangement, "plain"),
    ):
        if seen is None or (seen == real == nothing):
            continue
        if seen == real:
            out.append(f"{name}: {real.replace('-', ' ')}, as read")
        elif seen == nothing:
            out.append(f"{name}: the mark has {real.replace('-', ' ')}, which would be worn off")
        else:
            has = f"has {real.replace('-', ' ')}" if real != nothing else "has none"
            out.append(f"{name}: read as {seen.replace('-', ' ')}, the mark {has}")
    if mark.common.counts:
        out.append(mark.common.counts)
    if candidate.effect.years:
        out.append("its year code fits: " + ", ".join(map(str, candidate.effect.years[:6])))
    if years is not None:
        span = f"{mark.used_from or '…'}–{mark.used_to or '…'}"
        low, high = years
        apart = (low and mark.used_to and mark.used_to < low) or (
            high and mark.used_from and mark.used_from > high
        )
        out.append(f"used {span}, " + ("which does not fit the other evidence" if apart else "which fits"))
    return tuple(out)


def _letters(letters: str, mark: Mark) -> str:
    reading = pattern(letters)
    if not mark.letters:
        return "the mark has no letters" if letters else "no letters, as read"
    upright = chance(reading, mark.letters)
    wild = sum("?" in place or "*" in place for place in reading)
    if upright >= LETTER_RIGHT ** len(mark.letters) * (1 - 1e-9):
        return f"letters: {mark.letters}" + (", with what is unread filled in" if wild else ", as read")
    if any(chance(other, mark.letters) * TURNED > upright for other in turned(reading)):
        return f"letters: {mark.letters}, if it was read upside down or from behind"
    return f"letters: {mark.letters}, if some are worn, lost or added"


@dataclass(frozen=True, slots=True)
class MakerShare:
    """A maker it may be: the summed chance of its marks, and the likeliest of these."""

    name: str
    share: float
    mark_id: str


def maker_shares(finding: "Finding") -> list[MakerShare]:
    """Makers by the chance of their marks together, the likeliest first.

    Within one reading the marks of a maker add up; of several readings the one that tells most counts.
    What is left for marks not in the tables has no id and no maker.
    """
    sums: dict[tuple[int, str], float] = {}
    example: dict[str, str] = {}
    for candidate in finding.marks:
        if candidate.id is not None:
            key = (candidate.reading, candidate.maker)
            sums[key] = sums.get(key, 0.0) + candidate.probability
            example.setdefault(candidate.maker, candidate.id)
    best: dict[str, float] = {}
    for (_, name), share in sums.items():
        best[name] = max(best.get(name, 0.0), share)
    ranked = sorted(best.items(), key=lambda item: (-item[1], item[0]))
    return [MakerShare(name, share, example[name]) for name, share in ranked]


def likeliest_maker(finding: "Finding") -> MakerShare | None:
    """The maker that a find may be filed under; none where the evidence disagrees.

    What speaks against the mark's years speaks against its maker too, and which of the two was seen wrongly
    is for a person to say. The reading still shows whose mark it would be.
    """
    return None if finding.words == DISAGREE else next(iter(maker_shares(finding)), None)
