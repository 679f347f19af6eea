"""Parsing the concentration of acid as labels print it: per cent by weight or degrees Baumé. Pure."""

import re
from dataclasses import dataclass

from .chemistry import BadQuantity, checked_strength, strength_of_baume

_NUMBER = re.compile(
    r"(?<![\d.,])(\d{1,3}(?:[.,]\d{1,3})?)(?![\d])\s*"
    r"((?:(?:wt|w/w|weight)\.?\s*)?(?:%|per\s*cent)(?:\s*(?:by\s+weight|wt|w/w)\b\.?)?"
    r"|°?\s*b(?:é|e|aum[ée])\b)?",
    re.IGNORECASE,
)
_NEGATIVE = re.compile(r"(?<!\d)(?<!\d )[-\u2212]\s*\d")


@dataclass(frozen=True, slots=True)
class Strength:
    """Per cent by weight, and the words that say how it was read."""

    wt_pct: float
    words: str


def read_strength(text: str) -> Strength:
    """Read "31.45 %", "31,45 wt %", "20 °Bé", "20 Baume" or "hardware-store 31.45 %".

    A number without a unit is refused where it could be either. Raises BadQuantity.
    """
    plain = " ".join(text.split())
    if _NEGATIVE.search(plain):
        raise BadQuantity("strength", "A strength is more than 0 %.")
    matches = list(_NUMBER.finditer(plain))
    found = [(m[1], (m[2] or "").strip()) for m in matches]
    if not found:
        raise BadQuantity(
            "strength", "Without the strength on the label there is no plan. Write it as 31.45 % or 20 °Bé."
        )
    if len(found) > 1:
        raise BadQuantity("strength", "Give one number; of a range such as 10–15 % take the higher one.")
    number, unit = float(found[0][0].replace(",", ".")), found[0][1].lower()
    after = plain[matches[0].end() :].strip(" .")
    if after:
        # "31.45 % diluted 1" or "10 % of the jug" is another strength than its number says.
        raise BadQuantity("strength", f"After the number only % or °Bé can stand, not “{after}”.")
    if not unit:
        raise BadQuantity("strength", f"Say whether {found[0][0]} is % or °Bé: they are far apart.")
    if "%" in unit or unit.startswith("per"):
        return Strength(checked_strength(number), f"{number:g} % by weight")
    if not 1 <= number <= 24:
        raise BadQuantity("strength", "Hydrochloric acid is sold at 24 °Bé at most; look at the label again.")
    wt = strength_of_baume(number)
    return Strength(checked_strength(wt), f"{number:g} °Bé, which is {wt:.1f} % by weight")
