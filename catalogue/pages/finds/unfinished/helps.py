"""What would help most next with one find: a picture, a look, a word."""

from collections.abc import Collection

import dating
from catalogue.photos.models import Photo
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.reading.value import of_rows
from catalogue.specimens.services import date_evidence

from .missing import facts_of, lacking

MOST = 3
BASE_PICTURE = "Take a picture of its base: the maker's mark and what stands beside it tell most."
READ_BASE = "Read the base off its picture: the letters, and the characters beside them."


def helps(find: Specimen, roles: Collection[str], looks: Collection[str] = ()) -> list[str]:
    """Up to three things to do, what helps most first. `roles`: of the pictures it has; `looks`: what the
    dating service would look at next. No query where the find's rows are prefetched."""
    said = [fact.lacks for fact in lacking(facts_of(find, pictured=bool(roles)))]
    if not any(reading.was_read for reading in of_rows(find.readings.all())):
        said.append(READ_BASE if Photo.Role.BASE in roles else BASE_PICTURE)
    # Its name comes first, then what identifies it, then the rest of the inventory.
    first = [words for words in said if words.startswith("Say in a few words")]
    base = [words for words in said if words in (BASE_PICTURE, READ_BASE)]
    rest = [words for words in said if words not in (*first, *base)]
    return [*first, *base, *looks, *rest][:MOST]


def looks_for(find: Specimen, most: int = 2) -> list[str]:
    """The looks at it that would say most of its years, in words; empty where it can't be dated at all."""
    try:
        finding = date_evidence(evidence_of(find), look_next=True)
    except dating.CaseError:
        return []
    return [f"{look.ask} {_brings(look)}" for look in finding.look_next[:most]]


def _brings(look: dating.Look) -> str:
    return f"({look.effort}; {look.words.removeprefix(look.ask).lstrip(': ')})"
