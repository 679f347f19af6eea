"""Evidence: each piece's likelihood over the years, its weight and why, in words.

A piece comes from a feature of making (the trapezoid of its row), a mark that was read, or years known from
elsewhere.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from .case import Case, FeatureSeen, MarkReading
from .codes import digits_read
from .constants import CERTAINTY, CIRCA, ELSEWHERE, FIRM, RELIABILITY
from .copies import COPIES, Reproduction, widened
from .known import Known
from .library import Reference
from .markfactor import Candidate, MarkFactor, mark_factor
from .places import NOWHERE, half_outside, world_wide
from .tables import Feature
from .years import EVER, Axis, Spans, box, shape_of_feature, spans_of

BOUNDING = ("certain", "probable")  # a doubtful piece moves the odds, never the window


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A piece: ``heights`` t(y) over the axis, ``weight`` w, ``likelihood`` L(y) scaled to prior mean 1.

    L = w·t + (1−w)·t̄ with t̄ the prior mean of t: alone it gives exactly w·posterior + (1−w)·prior.
    Compared by identity.
    """

    kind: str
    key: str
    label: str
    detail: str
    certainty: str
    weight: float
    why_weight: str
    source: str
    heights: tuple[float, ...]
    likelihood: tuple[float, ...]
    support: Spans = EVER
    coded: bool = False
    family: str = ""
    reading: MarkReading | None = None
    copies: tuple[Reproduction, ...] = ()
    """Copies of a mark whose tell-tales were seen; its years hold theirs."""
    left_out: bool = False
    """With it the window would hold too little to be stated (``belief``): it moves the odds alone."""

    @property
    def bounds(self) -> bool:
        """Whether it takes part in the window."""
        return self.certainty in BOUNDING and not self.left_out

    @property
    def order(self) -> tuple[str, str, str, float]:
        """A place that does not depend on the order in which evidence was given."""
        return (self.kind, self.key, self.label, self.weight)


def likelihood(heights: tuple[float, ...], weight: float, axis: Axis) -> tuple[float, ...]:
    """L(y) scaled to a prior mean of 1; flat where the shape has no year on the axis (a conflict says so)."""
    mean = axis.mean(heights)
    if mean <= 0:
        return (1.0,) * len(heights)
    rise, floor = weight / mean, 1.0 - weight
    return tuple([rise * t + floor for t in heights])


CERTAINTY_WORDS = {
    "certain": "seen for certain",
    "probable": "probably seen so",
    "doubtful": "counted as doubtful",
}

RELIABILITY_WORDS = {
    "published": "the years were read in a publication",
    "partly": "some of its years are a compiler's reading",
    "memory": "the years are from memory, not read in a text",
    "own": "your own knowledge",
}


COPIED = "; signs of a copy were seen, so the copy's years count beside its own"


def reliability_of(feature: Feature) -> str:
    """published, partly (a year that bounds it was not read in a text) or memory."""
    if feature.basis != "published":
        return "memory"
    given = {c for c in ("earliest", "common_from", "common_to", "latest") if getattr(feature, c) is not None}
    return "published" if given <= set(feature.years_read) else "partly"


def weigh(certainty: str, reliability: str, outside: list[str]) -> tuple[float, str]:
    """The weight and its reason."""
    weight = CERTAINTY[certainty] * RELIABILITY.get(reliability, 1.0)
    words = f"{CERTAINTY_WORDS[certainty]}; {RELIABILITY_WORDS[reliability]}"
    if outside:
        weight *= ELSEWHERE
        words += f"; half weight, as {' and '.join(outside)}"
    return weight, words


def heights_of(feature: Feature, axis: Axis, ref: Reference) -> tuple[float, ...]:
    """The feature's shape over the axis."""
    return ref.remember(("heights", feature.id, axis), lambda: shape_of_feature(feature).over(axis))


def feature_piece(seen: FeatureSeen, case: Case, axis: Axis, ref: Reference) -> Piece:
    """The piece of evidence of a feature that was seen; its regional variant where there is one."""
    feature = ref.variants.taken(seen.id, case.region, case.contents)
    outside = ref.places.misfits(feature, case.region, case.contents)
    away = not ref.places.region_fits(feature.group, feature.region, case.region)
    copies = seen_copies((seen.id, feature.id), case, ref)
    key = ("feature", seen.id, feature.id, seen.certainty, tuple(outside), copies, axis)
    piece = ref.remember(key, lambda: _feature_piece(feature, seen, outside, away, copies, axis, ref))
    return replace(piece, label=f"{piece.label} ({seen.note[:60]})") if seen.note else piece


def seen_copies(names: Collection[str], case: Case, ref: Reference) -> tuple[Reproduction, ...]:
    """The copies of these features and marks whose tell-tales were seen."""
    seen = [ref.copies[one.id] for one in case.features if one.id in ref.copies]
    return tuple(copy for copy in seen if not set(copy.applies_to).isdisjoint(names))


def _feature_piece(
    feature: Feature,
    seen: FeatureSeen,
    outside: list[str],
    away: bool,
    copies: tuple[Reproduction, ...],
    axis: Axis,
    ref: Reference,
) -> Piece:
    certainty = seen.certainty
    weight, why = weigh(certainty, reliability_of(feature), outside)
    heights = heights_of(feature, axis, ref)
    support = shape_of_feature(feature).support
    if away:
        support = world_wide(feature)
        if support != EVER:
            weight, why = weigh(certainty, reliability_of(feature), [])
            why += f"; its limit holds all over the world, the rest half, as {' and '.join(outside)}"
            heights = half_outside(heights, support, axis)
    if feature.id != seen.id:
        meant = feature.region if feature.region not in NOWHERE else feature.applies_to
        why += f"; the row for {meant} is taken in place of “{ref.features[seen.id].term}”"
    if copies:
        heights, support = widened(heights, support, copies, axis)
        why += COPIED
    return Piece(
        "feature",
        feature.id,
        feature.term,
        feature.how_to_see,
        certainty,
        weight,
        why,
        ref.source_words(feature.source, feature.locator),
        heights,
        likelihood(heights, weight, axis),
        support,
        family=COPIES if feature.id in ref.copies else ref.family_of(feature.id),
    )


def known_piece(known: Known, axis: Axis) -> Piece:
    """A box of years (circa adds ramps of 5 years, a firm's lifetime of 10), or separate years."""
    ramp = FIRM if known.of_firm else 0
    shape = box(
        known.start,
        known.end,
        max(ramp, CIRCA if known.start_circa else 0),
        max(ramp, CIRCA if known.end_circa else 0),
    )
    heights, support = shape.over(axis), shape.support
    if known.years:
        heights = tuple(float(year in known.years) for year in axis.years)
        support = spans_of(known.years)
    weight, why = weigh(known.certainty, "own", [])
    return Piece(
        "known",
        f"{known.what}|{known.start}|{known.end}",
        known.what[:1].upper() + known.what[1:],
        "",
        known.certainty,
        weight,
        why,
        known.source,
        heights,
        likelihood(heights, weight, axis),
        support,
        coded=len(known.years) > 1,
    )


def mark_piece(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> Piece:
    """The piece of evidence of one reading."""
    factor = mark_factor(reading, case, axis, ref)
    copies = seen_copies({c.mark.id for c in factor.leading if c.mark}, case, ref) if ref.copied_marks else ()
    key = ("mark piece", reading, factor, copies)
    return ref.remember(key, lambda: _mark_piece(reading, factor, copies, axis, ref))


def _mark_piece(
    reading: MarkReading, factor: MarkFactor, copies: tuple[Reproduction, ...], axis: Axis, ref: Reference
) -> Piece:
    weight, why = weigh(reading.certainty, "published", [])
    trust = mark_reliability(factor)
    if trust < 1:
        weight *= trust
        recalled = all(c.mark and c.mark.basis == "memory" for c in factor.leading)
        what = "the mark and its years are" if recalled else "the reading or a year of the mark is"
        why = why.replace(RELIABILITY_WORDS["published"], f"{what} from memory")
    elif not factor.leading:
        why = why.replace(f"; {RELIABILITY_WORDS['published']}", "")
    elif all(c.mark and c.mark.source == "own" for c in factor.leading):
        why = why.replace(RELIABILITY_WORDS["published"], RELIABILITY_WORDS["own"])
    heights, support = widened(factor.heights, factor.support, copies, axis)
    return Piece(
        "mark",
        repr(reading),
        reading.label,
        mark_detail(reading, factor.leading, factor.coded),
        reading.certainty,
        weight,
        why + (COPIED if copies else ""),
        mark_source(factor.leading, ref),
        heights,
        likelihood(heights, weight, axis),
        support,
        factor.coded and not copies,
        reading=reading,
        copies=copies,
    )


def mark_reliability(factor: MarkFactor) -> float:
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


def mark_detail(reading: MarkReading, leading: Sequence[Candidate], coded: bool) -> str:
    """Which makers it may be, and what the characters beside it are."""
    makers = list(dict.fromkeys(c.mark.maker for c in leading if c.mark))
    known = f"{len(makers)} makers may have used it" if len(makers) > 3 else " or ".join(makers)
    parts = [known] if makers else ["no mark of the tables reads so"]
    of_these = "of this maker" if len(makers) < 2 else "of these makers"
    chars = [c for c in reading.slots.values() if c and digits_read(c)]
    if chars and not coded:
        shown = " ".join(chars)
        schemes = any(c.effect.codes for c in leading)
        if schemes and not any(c.effect.years for c in leading):
            parts.append(f"{shown} is no year {of_these}: a mould or catalogue number, which does not date")
        elif not schemes:
            parts.append(f"no year code {of_these} is known: {shown} does not date")
    return "; ".join(parts)


def mark_source(leading: Sequence[Candidate], ref: Reference) -> str:
    """Where the years of the leading marks, and the code, were read (the first few, each named once)."""
    rows = [(code.source, code.locator) for c in leading if c.effect.years for code in c.effect.codes]
    rows += [(c.mark.source, c.mark.locator) for c in leading if c.mark]
    told: set[tuple[str, str]] = set()
    words = []
    for source, locator in rows:
        place, keys = locator.split(";")[0], source.split(";")
        new = [key for key in keys if (key, place) not in told]
        told.update((key, place) for key in keys)
        if new:
            words.append(ref.source_words(";".join(new), locator if new == keys else ""))
    return "; ".join(words[:3])
