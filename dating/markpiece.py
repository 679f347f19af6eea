"""A mark reading as a piece of evidence, with its words."""

from .axis import Axis
from .case import Case
from .codes import digits_read
from .constants import RELIABILITY
from .evidence import Piece, likelihood, weigh
from .library import Reference
from .markfactor import MarkFactor, mark_factor
from .readings import MarkReading


def mark_piece(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> Piece:
    """The piece of evidence of one reading."""
    factor = mark_factor(reading, case, axis, ref)
    return ref.remember(("mark piece", reading, factor), lambda: _piece(reading, factor, axis, ref))


def _piece(reading: MarkReading, factor: MarkFactor, axis: Axis, ref: Reference) -> Piece:
    weight, why = weigh(reading.certainty, "published", [])
    trust = reliability(factor)
    if trust < 1:
        weight *= trust
        why = why.replace(
            "the years were read in a publication", "the reading or a year of the mark is from memory"
        )
    elif all(c.mark and c.mark.source == "own" for c in factor.leading):
        why = why.replace("the years were read in a publication", "your own knowledge")
    return Piece(
        "mark",
        repr(reading),
        reading.label,
        detail(reading, factor),
        reading.certainty,
        weight,
        why,
        source(factor, ref),
        factor.heights,
        likelihood(factor.heights, weight, axis),
        factor.support,
        factor.coded,
    )


def reliability(factor: MarkFactor) -> float:
    """Of the rows it rests on: the leading marks', each by its score, and never above that of their code."""
    total = sum(c.score for c in factor.leading)
    if not total:
        return 1.0
    shaky = sum(
        c.score * min(RELIABILITY[basis] for basis in (c.mark.basis, *(k.basis for k in c.effect.codes)))
        for c in factor.leading
        if c.mark
    )
    return 1.0 if abs(shaky / total - 1) < 1e-12 else shaky / total


def detail(reading: MarkReading, factor: MarkFactor) -> str:
    """Which makers it may be, and what the characters beside it are."""
    makers = list(dict.fromkeys(c.mark.maker for c in factor.leading if c.mark))
    known = f"{len(makers)} makers used it" if len(makers) > 3 else " or ".join(makers)
    parts = [known] if makers else ["no mark of the tables reads so"]
    chars = [c for c in reading.slots.values() if c and digits_read(c)]
    if chars and not factor.coded:
        shown = " ".join(chars)
        schemes = any(c.effect.codes for c in factor.leading)
        if schemes and not any(c.effect.years for c in factor.leading):
            parts.append(
                f"{shown} is no year of this maker: a mould or catalogue number, which does not date"
            )
        elif not schemes:
            parts.append(f"no year code of this maker is known: {shown} does not date")
    return "; ".join(parts)


def source(factor: MarkFactor, ref: Reference) -> str:
    """Where the years of the leading marks, and the code, were read (the first few)."""
    codes = [code for c in factor.leading if c.effect.years for code in c.effect.codes]
    words = [ref.source_words(code.source, code.locator) for code in codes]
    words += [ref.source_words(c.mark.source, c.mark.locator) for c in factor.leading if c.mark]
    return "; ".join(list(dict.fromkeys(words))[:3])
