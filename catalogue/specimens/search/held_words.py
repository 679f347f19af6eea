"""Finds that a visitor's search passes over: what is read of them tells a site that is not shown.

The page of such a find leaves the telling words out; a search that held them would answer whoever guesses.
"""

from functools import reduce
from operator import or_

from django.db.models import Q

from catalogue.sites.models import Site
from catalogue.specimens.models import SearchEntry, Specimen, ToldSite
from catalogue.specimens.models.specimen import SpecimenQuerySet

from .folding import fold


def hidden_sites() -> list[tuple[int, str]]:
    """Key and name of the sites that are not shown exactly, by name. One query."""
    hidden = Site.objects.exclude(show_as=Site.ShowAs.EXACT).order_by("name", "pk")
    return list(hidden.values_list("pk", "name"))


def searched_by_visitors() -> SpecimenQuerySet[Specimen]:
    """Finds that visitors see and whose words tell them no hidden site. Up to three queries."""
    seen: SpecimenQuerySet[Specimen] = Specimen.objects.for_visitors()
    told = {key: folded for key, name in hidden_sites() if (folded := fold(name).split("\n")[0])}
    if not told:
        return seen
    asked = reduce(or_, (Q(public__contains=folded) for folded in told.values()))
    entries = SearchEntry.objects.filter(asked, pk__in=seen.order_by().values("pk"))
    texts = dict(entries.values_list("pk", "public"))
    allowed: set[tuple[int, int]] = set()
    if texts:
        allowed = set(ToldSite.objects.filter(find__in=list(texts)).values_list("find_id", "site_id"))
    without = [
        find
        for find, text in texts.items()
        if any(folded in text and (find, site) not in allowed for site, folded in told.items())
    ]
    return seen.exclude(pk__in=without) if without else seen
