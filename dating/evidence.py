"""One piece of evidence: its likelihood over the years, how much it counts (its weight) and why, in words."""

from dataclasses import dataclass

from .axis import Axis
from .case import Case
from .constants import CERTAINTY, ELSEWHERE, RELIABILITY
from .rows import Feature
from .schemes import alike
from .spans import EVER, Spans

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

    @property
    def bounds(self) -> bool:
        """Whether it takes part in the window."""
        return self.certainty in BOUNDING

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
    "doubtful": "a doubtful look",
}
RELIABILITY_WORDS = {
    "published": "the years were read in a publication",
    "partly": "some of its years are a compiler's reading",
    "memory": "the years are from memory, not read in a text",
    "own": "your own knowledge",
}


def reliability_of(feature: Feature) -> str:
    """published, partly (a year that bounds it was not read in a text) or memory."""
    if feature.basis != "published":
        return "memory"
    given = {c for c in ("earliest", "common_from", "common_to", "latest") if getattr(feature, c) is not None}
    return "published" if given <= set(feature.years_read) else "partly"


def misfits(feature: Feature, case: Case) -> list[str]:
    """What about the bottle lies outside the row: its region, its contents."""
    out = []
    if (
        feature.region != "any"
        and case.region not in (None, "any")
        and alike(case.region or "") != alike(feature.region)
    ):
        out.append(f"the row is for {feature.region}")
    if feature.applies_to != "any" and case.contents not in (None, "any", feature.applies_to):
        out.append(f"the row is for {feature.applies_to}")
    return out


def weigh(certainty: str, reliability: str, outside: list[str]) -> tuple[float, str]:
    """The weight and its reason."""
    weight = CERTAINTY[certainty] * RELIABILITY.get(reliability, 1.0)
    words = f"{CERTAINTY_WORDS[certainty]}; {RELIABILITY_WORDS[reliability]}"
    if outside:
        weight *= ELSEWHERE
        words += f"; half weight, as {' and '.join(outside)}"
    return weight, words
