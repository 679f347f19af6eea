"""Take a maker from a file into the catalogue: all of it or nothing."""

from django.db import transaction

from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.towns import bottler_named, product_named, town_named

from .names import MAKER
from .read import MakerFile

TRIED_AT_ONCE = 500  # finds; with more, trying it out first would keep the page waiting


@transaction.atomic
def take_in(read: MakerFile, *, in_place_of: Maker | None = None) -> Maker:
    """Save what the file holds; `in_place_of`: a maker that keeps its page and pieces but nothing else.

    Returns the maker; how many finds are now dated otherwise stands on it as `rephrased`.
    """
    maker, gone = read.maker, []
    if in_place_of is not None:
        maker = in_place_of
        for column in MAKER.values():
            setattr(maker, column, getattr(read.maker, column))
        gone = [*maker.own_codes.all(), *maker.own_marks.all(), *maker.works.all()]
        for row in gone:
            row.delete()  # before the new ones come: a works has its name once
    for works, town in read.works:
        works.town = town_named(town)
    by_name = {works.name.casefold(): works for works, _ in read.works}
    for each in read.codes:
        each.code.bottler = bottler_named(each.bottler)
        each.code.product = product_named(each.product, each.code.bottler)
        each.code.works = by_name.get(each.works.casefold())
    return keep_maker(
        maker,
        works=[works for works, _ in read.works],
        marks=read.marks,
        codes=[each.code for each in read.codes],
        only_marks=[(each.code, each.marks) for each in read.codes],
    )


def would_change(read: MakerFile, *, in_place_of: Maker | None = None) -> int | None:
    """How many finds would be dated otherwise, found by doing it and taking it back; None: too many to try.

    The rows of `read` are used up by it: read the file again before taking it in.
    """
    if Specimen.everything.count() > TRIED_AT_ONCE:
        return None
    with transaction.atomic():
        changed = take_in(read, in_place_of=in_place_of).rephrased
        transaction.set_rollback(True)
    return changed
