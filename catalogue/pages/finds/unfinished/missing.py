"""The seven facts that an inventory needs of a thing, and which of them a find has.

Source: Collections Trust, "Inventory - scope" (Spectrum 5): object number, object name, number of objects,
brief description or picture, current location, owner or where it came from, recorder and date. Of these the
number, the count (one record is one piece), and who wrote it down when are there with every record.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q, QuerySet

from catalogue.photos.models import Photo
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.models.specimen_queries import STANDINGS_GONE

# The name of a piece that was numbered before anybody looked at it.
UNDESCRIBED = "Bottle, not yet described"
ALWAYS = ("its number", "how many it is", "who wrote it down, and when")


@dataclass(frozen=True, slots=True)
class Fact:
    """One of the seven: `label` as it is called, `lacks` what to do where it is missing."""

    label: str
    there: bool
    lacks: str = ""


def facts_of(find: Specimen, *, pictured: bool) -> list[Fact]:
    """The seven facts of one find. No query where its inscriptions are prefetched."""
    described = pictured or bool(find.notes) or any(find.inscriptions.all())
    came_from = bool(find.dive_id or find.site_id or find.recovered_edtf)
    return [
        *(Fact(label, True) for label in ALWAYS),
        Fact("what it is", find.what != UNDESCRIBED, "Say in a few words what it is."),
        Fact("a picture or a description", described, "Take a picture, or write down what it looks like."),
        Fact("where it is", bool(find.place_id) or find.standing in STANDINGS_GONE, "Say where it stands."),
        Fact("where it came from", came_from, "Give its dive or site, or about when it came up."),
    ]


def lacking(facts: Iterable[Fact]) -> list[Fact]:
    return [fact for fact in facts if not fact.there]


def unfinished() -> QuerySet[Specimen]:
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
