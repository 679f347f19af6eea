"""How many finds stand behind each choice of a filter."""

from collections import Counter
from itertools import islice

from django.db.models import QuerySet

from catalogue.specimens.models import Specimen

from .facets import FACETS, SPREAD, Facet
from .filters import FindFilters

AT_ONCE = 2000  # finds counted together


def counts_beside(filters: FindFilters) -> dict[str, Counter]:
    """Facet key -> how many finds have each stored value, under everything else that is chosen.

    Under "years": how many have each text of how they spread over the years, whatever years are chosen.
    Nothing chosen: one GROUP BY a facet on its own column. Otherwise one pass over the finds that are
    shown, counted here, and a GROUP BY for each facet with a choice: its own choice must not empty its
    other counts.
    """
    columns = (*FACETS, SPREAD)
    if not filters.narrowed:
        return {facet.key: facet.counted(filters.queryset.all()) for facet in columns}
    apart = [*filters.active, *([SPREAD] if filters.spans["years"] else [])]
    counts = {facet.key: facet.counted(filters.apart_from(facet)) for facet in apart}
    return counts | _one_pass(filters.qs, [facet for facet in columns if facet not in apart])


def total(filters: FindFilters, counts: dict[str, Counter]) -> int:
    """How many finds are shown: every find counts once in a facet nothing is chosen of."""
    for facet in FACETS:
        if facet not in filters.active:
            return sum(counts[facet.key].values())
    return filters.qs.count()


def _one_pass(finds: QuerySet[Specimen], facets: list[Facet]) -> dict[str, Counter]:
    # As they lie in the store: an index that tells which are not in the bin would have them read in its
    # own order, here and there, three times slower.
    finds = finds.order_by("pk")
    for facet in facets:
        finds = facet.annotated(finds)
    counts: dict[str, Counter] = {facet.key: Counter() for facet in facets}
    rows = finds.values_list(*(facet.column for facet in facets)).iterator(chunk_size=AT_ONCE)
    # a part at a time: held together, a hundred thousand rows keep the memory manager busy
    while part := list(islice(rows, AT_ONCE)):
        for facet, column in zip(facets, zip(*part, strict=True), strict=True):
            counts[facet.key].update(column)
    return counts
