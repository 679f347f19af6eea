"""What the service answers about one bottle."""

from dataclasses import dataclass
from functools import cached_property

from .axis import Axis
from .because import Because, scaled
from .case import Case
from .conflicts import Conflict
from .constants import HALF, LIKELY
from .evidence import Piece
from .lanes import Lane, lane
from .library import Reference
from .likely import Run, level_set
from .looknext import Look
from .ranking import MarkShare, mark_shares
from .window import Window


@dataclass(frozen=True)
class Finding:
    """The answer; its ``posterior`` is worked out from the ``unscaled`` one when asked for, and kept."""

    window: Window | None
    years: tuple[int, ...] | None
    best: int | None
    words: str
    age: tuple[int | None, int | None] | None
    age_words: str
    edtf: str | None
    because: tuple[Because, ...]
    conflicts: tuple[Conflict, ...]
    look_next: tuple[Look, ...]
    span: Axis
    pieces: tuple[Piece, ...]
    unscaled: tuple[float, ...]
    this_year: int
    reference_version: str
    case: Case
    ref: Reference

    @cached_property
    def posterior(self) -> tuple[float, ...]:
        """One probability for each year from ``axis[0]`` to ``axis[1]``."""
        return tuple(scaled(self.unscaled))

    @property
    def axis(self) -> tuple[int, int]:
        """First and last year considered."""
        return self.span.first, self.span.last

    @property
    def likely(self) -> tuple[Run, ...]:
        """The fewest years that hold 90 %, ties included, as runs; worked out when asked for."""
        return level_set(self.posterior, self.span.first, LIKELY)

    @property
    def half(self) -> tuple[Run, ...]:
        """The same for 50 %."""
        return level_set(self.posterior, self.span.first, HALF)

    @property
    def marks(self) -> tuple[MarkShare, ...]:
        """Which marks it may be, given everything; worked out when asked for."""
        return mark_shares(self.case, self.pieces, self.posterior, self.span, self.ref)

    @property
    def lanes(self) -> tuple[Lane, ...]:
        """One lane of the year ruler for each piece of evidence, worked out when it is drawn."""
        return tuple(lane(piece, self.span) for piece in self.pieces)

    def as_dict(self) -> dict[str, object]:
        """The answer in the shape of the command line (without the id and the looks asked for)."""
        return {
            "window": _span(self.window) if self.window else None,
            "years": list(self.years) if self.years else None,
            "best": self.best,
            "words": self.words,
            "age": list(self.age) if self.age else None,
            "age_words": self.age_words,
            "edtf": self.edtf,
            "likely": [_run(run) for run in self.likely],
            "half": [_run(run) for run in self.half],
            "marks": [_mark(mark) for mark in self.marks],
            "because": [_reason(reason) for reason in self.because],
            "conflicts": [_conflict(conflict) for conflict in self.conflicts],
        }


def _span(window: tuple[int | None, int | None]) -> dict[str, object]:
    return {"from": window[0], "to": window[1]}


def _run(run: Run) -> dict[str, object]:
    return {"from": run.start, "to": run.end, "probability": round(run.probability, 9)}


def _mark(mark: MarkShare) -> dict[str, object]:
    out: dict[str, object] = {
        "id": mark.id,
        "maker": mark.maker,
        "probability": round(mark.probability, 9),
        "used": list(mark.used) if mark.used else None,
    }
    if mark.reading:
        out["reading"] = mark.reading
    if mark.works:
        out["works"] = list(mark.works)
    return out


def _reason(reason: Because) -> dict[str, object]:
    return {
        "evidence": reason.evidence,
        "from": reason.start,
        "to": reason.end,
        "bits": round(reason.bits, 6),
        "weight": round(reason.weight, 6),
        "why_weight": reason.why_weight,
        "source": reason.source,
        "cut": reason.cut,
        "detail": reason.detail,
    }


def _conflict(conflict: Conflict) -> dict[str, object]:
    return {
        "between": list(conflict.between),
        "why": conflict.why,
        "kind": conflict.kind,
        "branches": [
            {
                "without": branch.without,
                "from": branch.start,
                "to": branch.end,
                "years": list(branch.years) if branch.years else None,
                "words": branch.words,
            }
            for branch in conflict.branches
        ],
    }


def look_dict(look: Look) -> dict[str, object]:
    """One look to take next, in the shape of the command line."""
    return {
        "group": look.group,
        "ask": look.ask,
        "bits": round(look.bits, 6),
        "effort": look.effort,
        "words": look.words,
    }
