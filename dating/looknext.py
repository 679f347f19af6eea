"""What to look at next: the expected fall in entropy of the year for each question not yet answered.

After Quinlan 1986 (Machine Learning 1:81–106): gain = H(year) − Σ P(answer)·H(year | answer), which equals
the information that answer and year share. The gain is divided by the effort of the look.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log2
from operator import mul

from .axis import Axis
from .case import Case
from .constants import CANNOT_TELL, EFFORT, NONE_OF_THESE
from .features import heights_of
from .library import Reference
from .questions import Question, questions


@dataclass(frozen=True, slots=True)
class Look:
    """A look worth taking: its question, the expected bits, the effort and what it may bring."""

    group: str
    ask: str
    bits: float
    effort: str
    worth: float
    words: str
    features: tuple[str, ...] = ()


def entropy(probabilities: Sequence[float]) -> float:
    """H in bits."""
    return float(-sum(p * log2(p) for p in probabilities if p > 0))


def gain(prior: Sequence[float], answers: Sequence[Sequence[float]]) -> float:
    """Expected fall in entropy; ``answers[a][y]`` = P(answer a | year y), each year's summing to 1."""
    shared = 0.0
    for chances in answers:
        total = sum(map(mul, prior, chances))
        if total > 0:
            shared += sum(
                p * c * log2(c / total) for p, c in zip(prior, chances, strict=True) if p > 0 and c > 0
            )
    return float(max(0.0, shared))


@dataclass(frozen=True, slots=True)
class Table:
    """The answers to one question over the axis, and the entropy of the answer in each year."""

    chances: tuple[tuple[float, ...], ...]
    spread: tuple[float, ...]


def table(shapes: Sequence[Sequence[float]], cannot_tell: float) -> Table:
    """P(a | y) = (1−κ)·t_a/Σt with “none of these” in the sum, and κ for not being able to tell."""
    size = len(shapes[0])
    sums = [NONE_OF_THESE + sum(shape[n] for shape in shapes) for n in range(size)]
    told = 1 - cannot_tell
    rows = [tuple(told * t / s for t, s in zip(shape, sums, strict=True)) for shape in shapes]
    rows.append(tuple(told * NONE_OF_THESE / s for s in sums))
    rows.append((cannot_tell,) * size)
    return Table(tuple(rows), tuple(entropy([row[n] for row in rows]) for n in range(size)))


def expected(posterior: Sequence[float], answers: Table) -> float:
    """The gain of a prepared question: H(answer) − Σ p(y)·H(answer | y)."""
    totals = [sum(map(mul, posterior, row)) for row in answers.chances]
    return max(0.0, entropy(totals) - float(sum(map(mul, posterior, answers.spread))))


def look_next(case: Case, posterior: Sequence[float], axis: Axis, ref: Reference) -> list[Look]:
    """The looks at features that have not been answered, unsorted."""
    out = []
    for question in questions(case, ref):
        answers = ref.remember(("table", question.key, axis), lambda q=question: _table(q, axis, ref))  # type: ignore[misc]
        out.append(
            look(question.group, question.ask, expected(posterior, answers), question.effort, question.ids)
        )
    return out


def _table(question: Question, axis: Axis, ref: Reference) -> Table:
    shapes = [heights_of(ref.features[name], axis, ref) for name in question.ids]
    return table(shapes, CANNOT_TELL[question.effort])


def look(group: str, ask: str, bits: float, effort: str, features: tuple[str, ...] = ()) -> Look:
    """A look with its worth and words."""
    return Look(group, ask, bits, effort, bits / EFFORT[effort], f"{ask}: {promise(bits)}", features)


def promise(bits: float) -> str:
    """What the gain means for a person: how much of the range is likely to stay."""
    left = 2.0**-bits
    if left > 0.9:
        return "unlikely to narrow it much"
    if left > 0.7:
        return "may narrow it a little"
    if left > 0.4:
        return "likely to halve the range"
    return f"likely to leave about one year in {round(1 / left)}"


def ranked(looks: Sequence[Look]) -> tuple[Look, ...]:
    """The most useful first; those that bring nothing are left out."""
    useful = [one for one in looks if one.bits > 1e-6]
    return tuple(sorted(useful, key=lambda one: (-one.worth, one.group, one.ask)))
