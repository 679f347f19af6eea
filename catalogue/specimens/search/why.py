"""Why something was found: the fields that hold the words, and where in them the words stand. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .folding import fold_with_places
from .kinds import SearchField
from .units import Unit

Spot = tuple[int, int]
"""Begin and end of a word in the text as it was typed."""


@dataclass(frozen=True, slots=True)
class WhyFound:
    """A field that holds some of what was looked for."""

    field: str
    text: str
    spots: tuple[Spot, ...]


def spots_in(text: str, units: Sequence[Unit]) -> dict[Unit, Spot]:
    """Where each unit stands first in a text; those that are not in it are left out."""
    placed = fold_with_places(text)
    plain = "".join(letter for letter, _ in placed)
    found: dict[Unit, Spot] = {}
    for unit in units:
        at = [(begin, sought) for sought in unit.texts if (begin := plain.find(sought)) >= 0]
        if at:
            begin, sought = min(at)
            begin, end = begin + len(sought) - len(sought.lstrip()), begin + len(sought.rstrip())
            places = [place for _, place in placed[begin:end]]
            found[unit] = (min(places), max(places) + 1)
    return found


def reasons(fields: Iterable[SearchField], units: Sequence[Unit], most: int = 2) -> list[WhyFound]:
    """The fields that explain the units, in their own order, until all are explained or `most` are named."""
    missing, found = list(units), []
    for field in fields:
        spots = spots_in(field.text, missing)
        if spots:
            found.append(WhyFound(field.name, field.text, tuple(sorted(set(spots.values())))))
            missing = [unit for unit in missing if unit not in spots]
        if not missing or len(found) == most:
            break
    return found
