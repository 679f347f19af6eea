"""The find that an address names, for whoever is looking."""

from django.http import Http404

from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet

SHOWN_WITH = (
    "dive__site",
    "site",
    "town",
    "maker",
    "bottler__town",
    "product",
    "place",
    "twin_group",
)


def plain_find(number: str) -> Specimen:
    """A find that is not in the bin, for a button or a small form. One query."""
    found = Specimen.objects.filter(number=number).select_related(*SHOWN_WITH).first()
    if found is None:
        raise Http404("There is no find of that number.")
    return found


def visitors_find(number: str) -> Specimen | None:
    """The find if a visitor may see it, with what the public page shows; else None.

    With all its words: whoever shows it holds back those that tell (`giving.told.hold_words_back`).
    """
    return visitors_finds().filter(number=number).first()


def visitors_finds() -> SpecimenQuerySet[Specimen]:
    """Every find that a visitor may see, as `visitors_find` gives one."""
    seen: SpecimenQuerySet[Specimen] = Specimen.objects.for_visitors()
    return seen.select_related(*SHOWN_WITH).prefetch_related("readings", "inscriptions")
