"""What would leave with carried pages and what stays, in numbers, said before anything is made."""

from dataclasses import dataclass

from catalogue.giving.told import sites_told_by_each
from catalogue.photos.models import Photo
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class WhatLeaves:
    """Numbers of pieces, but `pictures` and `private_pictures`; `sites` are named in the pages."""

    shown: int
    free: int
    pictures: int
    private_pictures: int
    kept_back: int
    held_back: int
    words_held: int
    sites: list[str]
    rounded: int
    hidden: int


def what_leaves() -> WhatLeaves:
    """As the catalogue stands now. Up to twelve queries."""
    seen = Specimen.objects.for_visitors()
    shown, held = seen.count(), Specimen.objects.held_back().count()
    pictures = Photo.objects.for_visitors().count()
    of_shown = Photo.objects.filter(find__in=seen.order_by().values("pk")).count()
    told = list(seen.only("number", "what", "story").in_order())
    lay: dict[str, set[str]] = {how: set() for how in Site.ShowAs.values}
    counts = dict.fromkeys(lay, 0)
    for find in seen.select_related("site", "dive__site").only("site", "dive__site").order_by():
        if site := find.where_found:
            lay[site.show_as].add(site.name)
            counts[site.show_as] += 1
    return WhatLeaves(
        shown=shown,
        free=Specimen.objects.free_to_take().count(),
        pictures=pictures,
        private_pictures=of_shown - pictures,
        kept_back=Specimen.objects.count() - shown - held,
        held_back=held,
        words_held=len(sites_told_by_each(told)),
        sites=sorted(lay[Site.ShowAs.EXACT]),
        rounded=counts[Site.ShowAs.ROUNDED],
        hidden=counts[Site.ShowAs.HIDDEN],
    )
