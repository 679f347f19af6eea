"""Concentration limits of an acid bath: when a mixture wants a written reason, and when it is refused.

Judged by the strength of what is mixed (per cent of hydrogen chloride by weight), never by the ratio of the
parts: fifteen to eighty-five of one jug is twice as strong as of another. Pure. The limits are common
practice without a source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from .care_tables import CARE_FACTS, Why, why_of
from .chemistry import strength_of_mix


@dataclass(frozen=True, slots=True)
class MixtureLimit:
    """Above `wt_pct` something is asked; `why` says what is so."""

    wt_pct: float
    why: Why


@dataclass(frozen=True, slots=True)
class MixtureVerdict:
    """Sentences, each empty where there is nothing to say."""

    refused: str = ""
    needs_reason: str = ""
    swapped: str = ""


@lru_cache(maxsize=1)
def mixture_limits() -> Mapping[str, MixtureLimit]:
    """The limits by key: "reason", "refuse". Raises ReferenceError, KeyError."""
    rows = {
        cells.text("key", needed=True): MixtureLimit(
            cells.number("wt_pct"), why_of(cells, cells.text("words", needed=True))
        )
        for cells in CARE_FACTS.rows("mixture_limits", ("key", "wt_pct", "words"))
    }
    return {key: rows[key] for key in ("reason", "refuse")}


def judge_parts(
    acid_parts: float, water_parts: float, strength_wt_pct: float, temperature_c: float
) -> MixtureVerdict:
    """The same of what these parts of a jug of that strength mix to. Raises BadQuantity."""
    mixed_pct = strength_of_mix(acid_parts, water_parts, strength_wt_pct, temperature_c)
    return judge_mixture(mixed_pct, acid_parts, water_parts)


def judge_mixture(wt_pct: float, acid_parts: float, water_parts: float) -> MixtureVerdict:
    """What a mixture of that strength asks for before it is planned or poured."""
    limits = mixture_limits()
    refuse, reason = limits["refuse"], limits["reason"]
    begins = f"This mixes to {wt_pct:.1f} % acid"
    swapped = ""
    if acid_parts > water_parts:
        swapped = (
            f"More acid than water: {acid_parts:g} of acid to {water_parts:g} of water. Were the two swapped?"
        )
    if wt_pct > refuse.wt_pct:
        words = (
            f"{begins}. Above {refuse.wt_pct:g} % no bath is planned here: {refuse.why.words}. "
            "Take more water: 15 of acid to 85 of water is the usual bath."
        )
        return MixtureVerdict(refused=words, swapped=swapped)
    if wt_pct > reason.wt_pct:
        words = (
            f"{begins}: {reason.why.words}. Say in a few words why it must be so strong, or take more water."
        )
        return MixtureVerdict(needs_reason=words, swapped=swapped)
    return MixtureVerdict(swapped=swapped)
