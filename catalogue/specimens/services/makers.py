"""Makers a person adds: with works, marks and codes, joined to the tables at once."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import Model, Q
from django.utils.text import slugify

from catalogue.common.text import free_slug
from catalogue.specimens.models import Maker, OwnCode, OwnMark, Specimen, Works
from catalogue.specimens.redating_worker import worker as redating
from catalogue.specimens.tables import current_reference

from .redating import note_untouched, redate_many
from .search import refresh_search

AT_ONCE = 2000
# Addresses under /makers/ that are pages of their own.
NOT_A_MAKER = {"new", "live", "file", "read"}


@transaction.atomic
def keep_maker(
    maker: Maker,
    *,
    works: Sequence[Works] = (),
    marks: Sequence[OwnMark] = (),
    codes: Sequence[OwnCode] = (),
    gone: Sequence[Model] = (),
    only_marks: Sequence[tuple[OwnCode, Sequence[OwnMark]]] = (),
) -> Maker:
    """Save a maker with what belongs to it, drop the rows in `gone`, then redate every find it may bear on.

    `only_marks` says of a code for which of the marks alone it holds; a code with none holds for all.
    How many finds now have another phrase is left on the maker as `rephrased`. Raises dating.ReferenceError
    for a mark or code that can't join the tables; nothing is saved then.
    """
    if not maker.slug:
        taken = slugify(maker.name, allow_unicode=True) in NOT_A_MAKER
        maker.slug = free_slug(Maker, f"{maker.name} maker" if taken else maker.name)
    maker.save()
    for row in gone:
        # The history keeps what it said.
        row.delete()
    for row in (*works, *marks, *codes):
        row.maker = maker
        row.save()
    for code, its_marks in only_marks:
        code.marks.set(its_marks)
    maker.rephrased = refresh_after_maker(maker)
    return maker


@transaction.atomic
def put_maker_in_bin(maker: Maker) -> int:
    """Out of the lists and out of the dating. Returns how many finds changed their phrase."""
    maker.put_in_bin()
    return refresh_after_maker(maker)


@transaction.atomic
def take_maker_back(maker: Maker) -> int:
    """Back from the bin, and into the dating. Returns how many finds changed their phrase."""
    maker.take_out_of_bin()
    return refresh_after_maker(maker)


def refresh_after_maker(maker: Maker) -> int:
    """Redate all finds with a reading (any may now read differently) and those tied to this maker.

    Returns how many finds have another phrase than before.
    """
    touched = Specimen.everything.filter(
        Q(readings__isnull=False) | Q(maker=maker) | Q(opinions__maker=maker)
    ).distinct()
    if redating.running and touched.count() > AT_ONCE:
        # Too many to wait for: they are done beside the pages, and listed there.
        redating.wake()
        return 0
    before = _said()
    for _done in redate_many(touched):
        pass
    note_untouched(current_reference())
    after = _said()
    for pk, (_, maker_now) in after.items():
        maker_then = before.get(pk, ("", None))[1]
        # its search text holds the maker's name, old or new
        if maker_now == maker.pk or maker_now != maker_then:
            refresh_search(Specimen.everything.get(pk=pk))
    return sum(before.get(pk, ("", None))[0] != words for pk, (words, _) in after.items())


def _said() -> dict[int, tuple[str, int | None]]:
    """Phrase and maker of every find."""
    rows = Specimen.everything.values_list("pk", "made_words", "maker_id")
    return {pk: (words, maker) for pk, words, maker in rows}
