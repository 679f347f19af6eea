"""Finds that a visitor's search passes over: what is read of them tells a site that is not shown.

The page of such a find leaves the telling words out; a search that held them would answer whoever guesses.
"""

from collections.abc import Mapping, Sequence
from functools import reduce
from operator import or_

from django.db.models import Q

from catalogue.sites.models import Site
from catalogue.specimens.models import SearchEntry, ToldSite

from .folding import fold


def hidden_sites() -> list[tuple[int, str]]:
    """Key and name of the sites that are not shown exactly, by name. One query."""
    hidden = Site.objects.exclude(show_as=Site.ShowAs.EXACT).order_by("name", "pk")
    return list(hidden.values_list("pk", "name"))


def hidden_site_words() -> dict[int, str]:
    """Of each hidden site whose name has letters, the folded words that tell it. One query."""
    return {key: folded for key, name in hidden_sites() if (folded := fold(name).split("\n")[0])}


def telling_finds(keys: Sequence[int], hidden: Mapping[int, str]) -> set[int]:
    """Those of these finds whose words, as visitors read them, tell one of these `hidden_site_words`.

    Up to two queries. Asked of what a search found, not of all that is shown: that was a look through
    every text for every site, 1.4 s of 100,000 finds.
    """
    if not (hidden and keys):
        return set()
    asked = reduce(or_, (Q(public__contains=folded) for folded in hidden.values()))
    texts = dict(SearchEntry.objects.filter(asked, pk__in=keys).values_list("pk", "public"))
    allowed: set[tuple[int, int]] = set()
    if texts:
        allowed = set(ToldSite.objects.filter(find__in=list(texts)).values_list("find_id", "site_id"))
    return {
        find
        for find, text in texts.items()
        if any(folded in text and (find, site) not in allowed for site, folded in hidden.items())
    }
