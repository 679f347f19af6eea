"""Completeness of a record: the seven facts that an inventory needs, which are there, what to do next.

Source: Collections Trust, "Inventory - scope" (Spectrum 5): object number, object name, number of objects,
brief description or picture, current location, owner or where it came from, recorder and date. Of these the
number, the count (one record is one piece), and who wrote it down when are there with every record.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q

import dating
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE, SpecimenQuerySet
from catalogue.specimens.reading.value import of_rows
from catalogue.specimens.services import date_evidence

from .models import Photo

# The name of a piece that was numbered before anybody looked at it.
UNDESCRIBED = "Bottle, not yet described"
ALWAYS = ("its number", "how many it is", "who wrote it down, and when")


@dataclass(frozen=True, slots=True)
class InventoryFact:
    """One of the seven: `label` as it is called, `lacks` what to do where it is missing."""

    label: str
    there: bool
    lacks: str = ""


def inventory_facts(find: Specimen, *, pictured: bool) -> list[InventoryFact]:
    """The seven facts of one find. No query where its inscriptions are prefetched."""
    described = pictured or bool(find.notes) or any(find.inscriptions.all())
    came_from = bool(find.dive_id or find.site_id or find.recovered_edtf)
    return [
        *(InventoryFact(label, True) for label in ALWAYS),
        InventoryFact("what it is", find.what != UNDESCRIBED, "Say in a few words what it is."),
        InventoryFact(
            "a picture or a description", described, "Take a picture, or write down what it looks like."
        ),
        InventoryFact(
            "where it is", bool(find.place_id) or find.standing in STANDINGS_GONE, "Say where it stands."
        ),
        InventoryFact("where it came from", came_from, "Give its dive or site, or about when it came up."),
    ]


def missing_facts(facts: Iterable[InventoryFact]) -> list[InventoryFact]:
    return [fact for fact in facts if not fact.there]


def unfinished() -> SpecimenQuerySet[Specimen]:
    """Pieces still here that lack one of the seven facts, or that nothing dates yet."""
    undescribed = (
        ~Exists(Photo.objects.filter(find=OuterRef("pk")))
        & Q(notes="")
        & ~Exists(Inscription.objects.filter(find=OuterRef("pk")))
    )
    nowhere_from = Q(dive=None, site=None, recovered_edtf="")
    undated = Q(made_from=None, made_to=None)
    return Specimen.objects.still_here().filter(
        undated | Q(what=UNDESCRIBED) | Q(place=None) | nowhere_from | undescribed
    )


MOST_STEPS = 3
BASE_PICTURE = "Take a picture of its base: the maker's mark and what stands beside it tell most."
READ_BASE = "Read the base off its picture: the letters, and the characters beside them."


@dataclass(frozen=True, slots=True)
class Completeness:
    """The seven facts of one find, and what would help most next, the best first."""

    facts: list[InventoryFact]
    steps: list[str]

    @property
    def missing(self) -> list[InventoryFact]:
        return missing_facts(self.facts)

    @property
    def there(self) -> int:
        return len(self.facts) - len(self.missing)


def completeness_of(find: Specimen, roles: Collection[str], looks: Collection[str] = ()) -> Completeness:
    """How complete the record of a find is. `roles`: of the pictures it has; `looks`: what the dating
    service would look at next. No query where the find's rows are prefetched."""
    return Completeness(inventory_facts(find, pictured=bool(roles)), next_steps(find, roles, looks))


def next_steps(find: Specimen, roles: Collection[str], looks: Collection[str] = ()) -> list[str]:
    """Up to three things to do, what helps most first. `roles`: of the pictures it has; `looks`: what the
    dating service would look at next. No query where the find's rows are prefetched."""
    steps = [fact.lacks for fact in missing_facts(inventory_facts(find, pictured=bool(roles)))]
    if not any(reading.was_read for reading in of_rows(find.readings.all())):
        steps.append(READ_BASE if Photo.Role.BASE in roles else BASE_PICTURE)
    # Its name comes first, then what identifies it, then the rest of the inventory.
    first = [words for words in steps if words.startswith("Say in a few words")]
    base = [words for words in steps if words in (BASE_PICTURE, READ_BASE)]
    rest = [words for words in steps if words not in (*first, *base)]
    return [*first, *base, *looks, *rest][:MOST_STEPS]


def looks_next(find: Specimen, most: int = 2) -> list[str]:
    """The looks at it that would say most of its years, in words; empty where it can't be dated at all."""
    try:
        finding = date_evidence(evidence_of(find), look_next=True)
    except dating.CaseError:
        return []
    return [f"{look.ask} {_brings(look)}" for look in finding.look_next[:most]]


def _brings(look: dating.Look) -> str:
    return f"({look.effort}; {look.words.removeprefix(look.ask).lstrip(': ')})"
