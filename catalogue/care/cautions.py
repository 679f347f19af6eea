"""Cautions that stand beside a treatment. Reminders only: the label and the safety data sheet come first."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from .care_tables import check_stored, treatment_kinds
from .models import Treatment

# The tool gives reminders; what it can't know is the product in hand and the law of the place.
DEFER = (
    "Follow the label and the safety data sheet of what you use, your local rules, and licensed practice "
    "where the work asks for it."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind with a method; `again` is False where it should not be done another time."""

    words: str
    source: str
    again: bool


check_stored(treatment_kinds(), [(str(value), str(label)) for value, label in Treatment.Method.choices])
CAUTIONS: Mapping[Treatment.Method, Caution] = MappingProxyType(
    {
        Treatment.Method(kind.key): Caution(kind.caution, kind.rests_on, kind.again)
        for kind in treatment_kinds().values()
        if kind.caution
    }
)
# Work that waits where a site is noted as a wreck or has a military link. Vinegar and citric are acids too.
HELD_METHODS = frozenset(Treatment.Method(kind.key) for kind in treatment_kinds().values() if kind.waits)


def caution_for(method: str) -> Caution | None:
    """The caution of a method, if it has one."""
    return CAUTIONS.get(Treatment.Method(method)) if method in Treatment.Method.values else None


def waits(method: str, site: object | None) -> bool:
    """Whether this method waits for a person's decision on the site of the find."""
    return bool(site is not None and getattr(site, "holds", False) and method in HELD_METHODS)
