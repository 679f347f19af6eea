"""Makers a person adds: with works, marks and codes, joined to the tables at once."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.common.text import free_slug
from catalogue.specimens.models import Maker, OwnCode, OwnMark, Specimen, Works

from .redate import redate_many
from .search import refresh_search


@transaction.atomic
def keep_maker(
    maker: Maker,
    *,
    works: Sequence[Works] = (),
    marks: Sequence[OwnMark] = (),
    codes: Sequence[OwnCode] = (),
) -> Maker:
    """Save a maker with what belongs to it, then redate every find whose mark it may be.

    A code given with no marks of its own holds for all marks of the maker.
    """
    if not maker.slug:
        maker.slug = free_slug(Maker, maker.name)
    maker.save()
    for row in (*works, *marks, *codes):
        row.maker = maker
        row.save()
    refresh_after_maker(maker)
    return maker


def refresh_after_maker(maker: Maker) -> None:
    """Any find with a reading may now read differently; those of this maker also carry its name."""
    touched = Specimen.everything.filter(readings__isnull=False).distinct()
    for _done in redate_many(touched):
        pass
    for find in Specimen.everything.filter(maker=maker):
        refresh_search(find)
