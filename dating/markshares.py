"""Which marks it may be, given everything: the marks and the years are inferred together."""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import truediv

from .axis import Axis
from .candidates import Candidate
from .case import Case
from .codes import works_named
from .evidence import Piece
from .library import Reference
from .markfactor import mark_factor, shares
from .readings import MarkReading

SHOWN = 12
LEAST = 5e-4
UNKNOWN = "a mark not in the tables"
OTHERS = "another mark of the tables"


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
        out += _of_reading(number, reading, case, pieces, after, axis, ref)
    return tuple(out)


def _of_reading(
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
    ranked = shares(factor, mine.weight, others, LEAST)
    known = [(p, c) for p, c in ranked if c.mark]
    if not known:  # none can matter: the likeliest is named all the same
        known = [(p, c) for p, c in shares(factor, mine.weight, others) if c.mark][:1]
    out = [_share(p, c, reading, number) for p, c in known[:SHOWN] if p >= LEAST or c is known[0][1]]
    unknown = sum(p for p, c in ranked if not c.mark)
    rest = 1.0 - unknown - sum(share.probability for share in out)
    if rest > 1e-12 and any(c.mark for c in factor.candidates):
        out.append(MarkShare(None, OTHERS, rest, None, "", number))
    if unknown > 0:
        out.append(MarkShare(None, UNKNOWN, unknown, None, "", number))
    return out


def _share(probability: float, candidate: Candidate, reading: MarkReading, number: int) -> MarkShare:
    mark = candidate.mark
    assert mark is not None
    chars = [c for c in reading.slots.values() if c]
    works = [w for code in candidate.effect.codes for c in chars for w in works_named(code, c)]
    used = (mark.used_from, mark.used_to)
    return MarkShare(mark.id, mark.maker, probability, used, mark.place, number, tuple(dict.fromkeys(works)))
