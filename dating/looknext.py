"""What to look at next: the expected information gain (fall in Shannon entropy) of each open question.

After Quinlan 1986 (Machine Learning 1:81–106): gain = H(year) − Σ P(answer)·H(year | answer), which equals
the mutual information of answer and year. The gain is divided by the effort of the look.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import log2
from operator import mul

from .case import Case
from .constants import CANNOT_TELL, COPY_SHARE, EFFORT, MARK_ELSEWHERE, NAMED_LEAST, NONE_OF_THESE
from .copies import COPIES, Reproduction, copies_of
from .evidence import Piece, heights_of
from .library import Reference
from .places import NOWHERE, alike
from .ranking import mark_shares
from .tables import LIP, LIP_SHAPES, Feature, lip_parts
from .years import Axis

# groups whose members exclude each other: one answer to one question
ONE_OF = {
    "mould-seam": ("Look at the seams: how do they run?", "a glance"),
    "pontil": ("Look at the middle of the base: is there a pontil scar, and which?", "a glance"),
    "base-scar": ("Look at the base: which scar does it carry?", "a loupe"),
    LIP: ("Look at the lip: how was it made?", "a glance"),
    LIP_SHAPES: ("Look at the lip: which shape does it have?", "a glance"),
    "wine-form": ("Look at the shape of the body: is it one of the old wine bottles?", "a glance"),
    "closure": ("How was it closed?", "a glance"),
    "venting": ("Feel for tiny pimples on shoulder and panels: is it vented?", "a loupe"),
    "glass-quality": ("Hold it to the light: wavy skin, bubbles?", "a lamp"),
    "base-surface": ("Look at the resting edge: dots or ridges?", "a glance"),
}
YES_NO = {
    "inscription": ("Read the glass", "a glance"),
    "label": ("Look for a label, or its ghost", "a lamp"),
    "body": ("Look at the shape", "a glance"),
    "colour": ("Hold it to the light", "a lamp"),
    "contents": ("Read what it held", "a glance"),
    "capacity": ("Read or measure its size", "a glance"),
    "other": ("Look closely", "a loupe"),
}


@dataclass(frozen=True, slots=True)
class Question:
    """A question: its group, its words, the effort, and the features that answer it."""

    group: str
    ask: str
    effort: str
    ids: tuple[str, ...]
    rows: tuple[str, ...]
    """For each of them the row that its years are taken from."""
    chance: float = 1.0
    """That the bottle is of the one country of the row at all."""

    @property
    def key(self) -> tuple[object, ...]:
        """What its answers depend on."""
        return (self.effort, self.chance, *self.rows)


def questions(case: Case, ref: Reference) -> list[Question]:
    """The questions not answered yet; rows for other regions or contents than the bottle's are left out."""
    seen = {feature.id for feature in case.features}
    out = []
    for group, features, offered in _asked_of(case, ref):
        if not offered or group in case.asked or group == COPIES:
            continue
        if group in ONE_OF:
            if not seen & {feature.id for feature in features}:
                ask, effort = ONE_OF[group]
                out.append(Question(group, ask, effort, *_names(offered, case, ref)))
        else:
            open_ones = [f for f in offered if f.id not in seen and f.id not in case.asked]
            out += [_yes_no(group, feature, case, ref) for feature in open_ones]
    return out


def _asked_of(case: Case, ref: Reference) -> Iterator[tuple[str, Sequence[Feature], Sequence[Feature]]]:
    """Each question with all its rows and those that fit such a bottle; of the lip two things are asked."""
    for group, features in ref.groups.items():
        offered = _offered(group, case, ref)
        if group == LIP:
            yield from zip((LIP, LIP_SHAPES), lip_parts(features), lip_parts(offered), strict=True)
        else:
            yield group, features, offered


def same_question(feature: str, ref: Reference) -> frozenset[str]:
    """The features of which one alone is the answer where this one is: itself, and those it excludes."""
    group = ref.features[feature].group
    if group not in ONE_OF:
        return frozenset({feature})
    parts = lip_parts(ref.groups[group]) if group == LIP else [ref.groups[group]]
    return next(names for part in parts if feature in (names := frozenset(row.id for row in part)))


def _offered(group: str, case: Case, ref: Reference) -> tuple[Feature, ...]:
    """The rows of a group that are answers for such a bottle."""
    region, held = case.region, case.contents
    return ref.remember(
        ("offered", group, region, held),
        lambda: tuple(row for row in ref.groups[group] if ref.variants.offered(row, region, held)),
    )


def _names(rows: Sequence[Feature], case: Case, ref: Reference) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The ids to offer, and those of the rows that their years are taken from."""
    taken = tuple(ref.variants.taken(row.id, case.region, case.contents).id for row in rows)
    return tuple(row.id for row in rows), taken


def _yes_no(group: str, feature: Feature, case: Case, ref: Reference) -> Question:
    ask, effort = YES_NO.get(group, YES_NO["other"])
    ids, rows = _names([feature], case, ref)
    chance = _chance(ref.features[rows[0]].region, case.region, ref)
    return Question(group, f"{ask}: {feature.term}?", effort, ids, rows, chance)


def _chance(country: str, region: str | None, ref: Reference) -> float:
    """That a bottle is of the one country of a row: among all, or, if a neighbour's, beside its own."""
    if country in NOWHERE or alike(country) == alike(region or ""):
        return 1.0
    share = ref.share_of(country)
    if region in NOWHERE:
        return share
    return MARK_ELSEWHERE * share / ((share + ref.share_of(region or "")) or 1)


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
    reading: int | None = None
    """Of a look for characters beside a mark: which of the case's mark readings."""
    side: str = ""
    """And on which side of it; empty where they may stand on any."""


def look_dict(look: Look) -> dict[str, object]:
    """One look to take next, in the shape of the command line."""
    return {
        "group": look.group,
        "ask": look.ask,
        "bits": round(look.bits, 6),
        "effort": look.effort,
        "words": look.words,
    }


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
class AnswerTable:
    """The answers to one question over the axis, and the entropy of the answer in each year."""

    chances: tuple[tuple[float, ...], ...]
    spread: tuple[float, ...]


def table(shapes: Sequence[Sequence[float]], cannot_tell: float) -> AnswerTable:
    """P(a | y) = (1−κ)·t_a/Σt with “none of these” in the sum, and κ for not being able to tell."""
    size = len(shapes[0])
    sums = [NONE_OF_THESE + sum(shape[n] for shape in shapes) for n in range(size)]
    told = 1 - cannot_tell
    rows = [tuple(told * t / s for t, s in zip(shape, sums, strict=True)) for shape in shapes]
    rows.append(tuple(told * NONE_OF_THESE / s for s in sums))
    rows.append((cannot_tell,) * size)
    return AnswerTable(tuple(rows), tuple(entropy([row[n] for row in rows]) for n in range(size)))


def expected(after: Sequence[float], answers: AnswerTable) -> float:
    """The gain of a prepared question: H(answer) − Σ p(y)·H(answer | y)."""
    totals = [sum(map(mul, after, row)) for row in answers.chances]
    return max(0.0, entropy(totals) - float(sum(map(mul, after, answers.spread))))


def look_next(case: Case, after: Sequence[float], axis: Axis, ref: Reference) -> list[Look]:
    """The looks at features that have not been answered, unsorted."""
    out = []
    for question in questions(case, ref):
        answers = ref.remember(("table", question.key, axis), partial(_table, question, axis, ref))
        out.append(
            look(question.group, question.ask, expected(after, answers), question.effort, question.ids)
        )
    return out


def _table(question: Question, axis: Axis, ref: Reference) -> AnswerTable:
    shapes = [heights_of(ref.features[name], axis, ref) for name in question.rows]
    if question.chance < 1:
        shapes = [tuple(question.chance * height for height in shape) for shape in shapes]
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


def open_copies(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[Reproduction, ...]:
    """The copies of what was seen whose tell-tales were not; of marks only the likely ones.

    A piece that is known for certain to be older than the copies is none of them.
    """
    seen = {one.id for one in case.features}
    names = seen | {ref.variants.taken(name, case.region, case.contents).id for name in seen}
    if ref.copied_marks and case.marks:
        shares = mark_shares(case, pieces, after, axis, ref)
        names |= {one.id for one in shares if one.id and one.probability >= NAMED_LEAST}
    last = min(
        (k.end for k in case.known if k.end is not None and k.certainty == "certain"), default=axis.last
    )
    return tuple(copy for copy in copies_of(names, ref) if copy.id not in seen and copy.start <= last)


EFFORT_OF_COPY = "a loupe"


def copy_look(copy: Reproduction, after: Sequence[float], late: Sequence[float]) -> Look:
    """The tell-tales of a copy as a question; ``late`` is the posterior were they seen.

    Its gain is what the answer yes or no tells of the year (the Jensen–Shannon divergence of the two
    posteriors, weighed by the chance of a copy): nothing where a copy would be of the same years.
    """
    told = 1 - CANNOT_TELL[EFFORT_OF_COPY]
    mixed = [(1 - COPY_SHARE) * a + COPY_SHARE * b for a, b in zip(after, late, strict=True)]
    bits = entropy(mixed) - (1 - COPY_SHARE) * entropy(after) - COPY_SHARE * entropy(late)
    bits = max(0.0, told * bits)
    words = f"{copy.ask} If so, it was made {copy.made}."
    worth = bits / EFFORT[EFFORT_OF_COPY]
    return Look(COPIES, copy.ask, bits, EFFORT_OF_COPY, worth, words, (copy.id,))


def ranked(looks: Sequence[Look]) -> tuple[Look, ...]:
    """The most useful first; those that bring nothing are left out."""
    useful = [one for one in looks if one.bits > 1e-6]
    return tuple(sorted(useful, key=lambda one: (-one.worth, one.group, one.ask)))
