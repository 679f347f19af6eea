"""The find that an address names, for whoever is looking."""

from django.db.models import Prefetch
from django.http import Http404

from catalogue.giving.models import HandOver, Promise
from catalogue.specimens.models import Move, Opinion, Specimen

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


def owners_find(number: str) -> Specimen:
    """Any find, the bin included, with everything its page shows. Eighteen queries."""
    found = (
        Specimen.everything.filter(number=number)
        .select_related(*SHOWN_WITH)
        .prefetch_related(
            "readings",
            "features",
            "inscriptions",
            "known_years",
            Prefetch("opinions", Opinion.objects.select_related("maker", "by")),
            Prefetch("moves", Move.objects.select_related("from_place", "to_place")),
            "condition_reports__damages",
            "condition_reports__by",
            "treatments__by",
            "checks",
            Prefetch("promises", Promise.objects.select_related("person")),
            Prefetch("handovers", HandOver.objects.select_related("person")),
            "dive__site__permissions",
            "site__permissions",
        )
        .first()
    )
    if found is None:
        raise Http404("There is no find of that number.")
    return found


def plain_find(number: str) -> Specimen:
    """A find that is not in the bin, for a button or a small form. One query."""
    found = Specimen.objects.filter(number=number).select_related(*SHOWN_WITH).first()
    if found is None:
        raise Http404("There is no find of that number.")
    return found


def visitors_find(number: str) -> Specimen | None:
    """The find if a visitor may see it, with what the public page shows; else None."""
    return (
        Specimen.objects.for_visitors()
        .filter(number=number)
        .select_related(*SHOWN_WITH)
        .prefetch_related("readings", "inscriptions")
        .first()
    )
