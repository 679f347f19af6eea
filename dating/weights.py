"""How much a piece of evidence counts, and why, in words."""

from .case import Case
from .constants import CERTAINTY, ELSEWHERE, RELIABILITY
from .rows import Feature
from .schemes import alike

LOOK = {"certain": "seen for certain", "probable": "probably seen so", "doubtful": "a doubtful look"}
ROW = {
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
    words = f"{LOOK[certainty]}; {ROW[reliability]}"
    if outside:
        weight *= ELSEWHERE
        words += f"; half weight, as {' and '.join(outside)}"
    return weight, words
