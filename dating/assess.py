"""Date one bottle: Bayes' rule over the years, prior × the likelihood of everything observed.

The answer is a ``Finding``, which also knows its shape for the command line.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from operator import mul

from .belief import grouped, headline, together
from .case import Case, FeatureSeen
from .code_looks import code_looks
from .conflicts import Conflict, Correction, conflicts, correction_words, corrections
from .constants import HALF, LIKELY, PRIOR
from .copies import Reproduction
from .evidence import Piece, feature_piece, known_piece, mark_piece
from .inscription import reads_as
from .library import Reference
from .looknext import Look, copy_look, look_next, open_copies, ranked
from .ranking import MarkShare, mark_shares
from .reasons import Because, Lane, because, lane
from .window import Peak, Window, age, age_words, in_edtf, peak
from .years import Axis, Run, Segments, axis_to, level_set, scaled


@dataclass(frozen=True)
class Finding:
    """The answer; ``posterior`` has one probability for each year from ``axis[0]`` to ``axis[1]``."""

    window: Window | None
    years: tuple[int, ...] | None
    say: Callable[[], str] = field(compare=False, repr=False)
    """Makes the phrase, where it is asked for (``words``)."""
    age: tuple[int | None, int | None] | None
    age_words: str
    edtf: str | None
    because: tuple[Because, ...]
    conflicts: tuple[Conflict, ...]
    corrections: tuple[Correction, ...]
    look_next: tuple[Look, ...]
    span: Axis
    pieces: tuple[Piece, ...]
    posterior: tuple[float, ...]
    this_year: int
    reference_version: str
    case: Case
    ref: Reference

    @cached_property
    def words(self) -> str:
        """The phrase."""
        return self.say()

    @cached_property
    def peak(self) -> Peak:
        """Where the years are highest."""
        return peak(self.posterior, self.span, self.window)

    @property
    def best(self) -> int | None:
        """The one year that stands out from all others, where there is such a one."""
        return self.peak.best

    @property
    def peak_words(self) -> str:
        """The highest years in words, where they say more than the window."""
        one_year = self.window is not None and self.window.start == self.window.end
        return "" if one_year else self.peak.words

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
    def corrected(self) -> str:
        """In one statement, which slips would leave years; empty where nothing contradicts."""
        return correction_words(self.corrections)

    @property
    def copies(self) -> tuple[Reproduction, ...]:
        """Later copies of what was seen and of marks it may bear: a caution beside the years, no part of it.

        Those whose tell-tales were seen are evidence like any other, and told among the reasons.
        """
        return open_copies(self.case, self.pieces, self.posterior, self.span, self.ref)

    @property
    def misplaced(self) -> tuple[str, ...]:
        """What was given as a mark and reads as something else, each in a sentence."""
        found = [
            (reading.letters or "", reads_as(reading.letters or "", self.ref)) for reading in self.case.marks
        ]
        return tuple(
            f"“{letters}” reads as {what}: put it under lettering." for letters, what in found if what
        )

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
            "level": _span(self.peak.level) if self.peak.level else None,
            "words": self.words,
            "age": list(self.age) if self.age else None,
            "age_words": self.age_words,
            "edtf": self.edtf,
            "likely": [_run(run) for run in self.likely],
            "half": [_run(run) for run in self.half],
            "marks": [_mark(mark) for mark in self.marks],
            "because": [_reason(reason) for reason in self.because],
            "conflicts": [_conflict(conflict) for conflict in self.conflicts],
            "corrections": [_corrected(one) for one in self.corrections],
            "misplaced": list(self.misplaced),
            "copies": [_copy(copy, self.ref) for copy in self.copies],
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
    return {"between": list(conflict.between), "why": conflict.why, "kind": conflict.kind}


def _copy(copy: Reproduction, ref: Reference) -> dict[str, object]:
    return {
        "id": copy.id,
        "from": copy.start,
        "to": copy.end,
        "tell_tales": copy.tell_tales,
        "source": ref.source_words(copy.source),
    }


def _corrected(one: Correction) -> dict[str, object]:
    return {
        "without": list(one.without),
        "from": one.start,
        "to": one.end,
        "years": list(one.years) if one.years else None,
        "words": one.words,
    }


RESCALE_EVERY = 12  # rescale after so many factors, so that a long list cannot underflow


def pieces_of(case: Case, axis: Axis, ref: Reference) -> list[Piece]:
    """The pieces of a case, in an order that does not depend on how they were given."""
    pieces = _features(case, axis, ref)
    pieces += [mark_piece(reading, case, axis, ref) for reading in case.marks]
    pieces += [known_piece(known, axis) for known in case.known]
    pieces.sort(key=lambda piece: piece.order)
    return pieces


def _features(case: Case, axis: Axis, ref: Reference) -> list[Piece]:
    """One piece for each row: a row and the variant that is taken for it are one look, the surer counts."""
    found: dict[str, Piece] = {}
    for seen in case.features:
        piece = feature_piece(seen, case, axis, ref)
        if piece.key not in found or found[piece.key].weight < piece.weight:
            found[piece.key] = piece
    return list(found.values())


def posterior(pieces: Sequence[Piece], axis: Axis) -> tuple[float, ...]:
    """Prior × one likelihood for each independent piece or family, not yet scaled to a sum of 1."""
    groups = grouped(pieces)
    if not groups:
        return axis.prior
    first, *others = groups
    # a feature seen on many finds is multiplied by the prior but once
    shared = len(first) == 1 and first[0].kind == "feature"
    values: Sequence[float] = (
        _with_prior(first[0], axis) if shared else list(map(mul, axis.prior, together(first, axis)))
    )
    for number, group in enumerate(others, 1):
        values = list(map(mul, values, together(group, axis)))
        if number % RESCALE_EVERY == 0:
            top = max(values)
            values = [v / top for v in values]
    return tuple(values)


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=1024)
def _with_prior(piece: Piece, axis: Axis) -> tuple[float, ...]:
    return tuple(map(mul, axis.prior, piece.likelihood))


def assess(
    case: Case,
    ref: Reference,
    look_next: bool = False,
    *,
    reasons: bool = True,
    prior: Segments = PRIOR,
) -> Finding:
    """The finding for a case.

    ``look_next`` asks for the looks worth taking (also where the case asks), ``reasons=False`` leaves out
    reasons, conflicts and lanes for redating many, ``prior`` replaces the assumption about the years
    (periods as from, to, share, and how much their last year has of their first).
    """
    ref = case.own or ref
    axis = axis_to(case.last_year, prior)
    read = pieces_of(case, axis, ref)
    looks = look_next or case.look_next
    after = scaled(posterior(read, axis))
    pieces, whole, words = headline(case, read, after, axis, ref)
    return Finding(
        window=whole.window,
        years=whole.years,
        say=words,
        age=age(whole, case.this_year),
        age_words=age_words(whole, case.this_year),
        edtf=in_edtf(whole),
        because=because(case, read, pieces, after, whole, axis, ref) if reasons else (),
        conflicts=conflicts(pieces, axis, ref, case.recovered) if reasons else (),
        corrections=corrections(pieces, axis, ref) if reasons else (),
        look_next=_looks(case, pieces, after, axis, ref) if looks else (),
        span=axis,
        pieces=tuple(pieces),
        posterior=tuple(after),
        this_year=case.this_year,
        reference_version=ref.version,
        case=case,
        ref=ref,
    )


def _looks(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[Look, ...]:
    looks = [*look_next(case, after, axis, ref), *code_looks(case, pieces, after, axis, ref)]
    for copy in open_copies(case, pieces, after, axis, ref):
        if copy.id not in case.asked:
            ticked = replace(case, features=(*case.features, FeatureSeen(copy.id)))
            late = scaled(posterior(pieces_of(ticked, axis, ref), axis))
            looks.append(copy_look(copy, after, late))
    return ranked(looks)
