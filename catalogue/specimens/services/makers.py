"""Makers a person adds: with works, marks and codes, joined to the tables at once."""

from collections.abc import Iterable, Sequence

from django.db.models import Model
from django.utils.text import slugify

from catalogue.common.text import free_slug
from catalogue.specimens.derived.refresh import note_maker, refresh_now, refreshing
from catalogue.specimens.models import Maker, Opinion, OwnCode, OwnMark, Works

# Addresses under /makers/ that are pages of their own.
NOT_A_MAKER = {"new", "live", "file", "read"}


def own_maker_named(name: str, *, besides: Maker | None = None) -> Maker | None:
    """The maker of one's own that bears this name, but for the one that is asked about."""
    same = Maker.objects.own_named(name)
    others = same.exclude(pk=besides.pk) if besides and besides.pk else same
    return others.order_by("pk").first()


@refreshing()
def keep_maker(
    maker: Maker,
    *,
    works: Sequence[Works] = (),
    marks: Sequence[OwnMark] = (),
    codes: Sequence[OwnCode] = (),
    gone: Sequence[Model] = (),
    only_marks: Sequence[tuple[OwnCode, Iterable[OwnMark]]] = (),
    fields: Sequence[str] | None = None,
) -> Maker:
    """Save a maker with what belongs to it, drop the rows in `gone`, then redate every find it may bear on.

    `only_marks` says of a code for which of the marks alone it holds; a code with none holds for all.
    `fields`: what a form changed of the maker itself, on one that is on record.
    How many finds now have another phrase is left on the maker as `rephrased`. Raises dating.ReferenceError
    for a mark or code that can't join the tables; nothing is saved then.
    """
    if not maker.slug:
        taken = slugify(maker.name, allow_unicode=True) in NOT_A_MAKER
        maker.slug = free_slug(Maker, f"{maker.name} maker" if taken else maker.name)
    if fields is None or maker.pk is None:
        maker.save()
    elif fields:
        maker.save(update_fields=list(fields))
    for row in gone:
        # The history keeps what it said.
        row.delete()
    keyed = {row.pk: row for row in works if row.pk}
    known = Works.everything.in_bulk(keyed)
    again = [row for key, row in keyed.items() if key not in known]
    parts: list[Works | OwnMark | OwnCode] = [*works, *marks, *codes]
    for part in parts:
        part.maker = maker
        part.save()
    for row in again:
        _name_again(row)
    for code, its_marks in only_marks:
        code.marks.set(its_marks)
    maker.rephrased = refresh_after_maker(maker)
    return maker


def _name_again(works: Works) -> None:
    """Have opinions that named these works before they were taken out lead to them again.

    Taken out, they left the opinions their words alone; they came back under their key.
    """
    said = set(Opinion.history.filter(works_id=works.pk).values_list("id", "value"))
    left = Opinion.everything.filter(pk__in=[key for key, _ in said], works=None)
    for opinion in left.select_for_update(of=("self",)):
        if (opinion.pk, opinion.value) in said:
            opinion.works = works
            opinion.save(update_fields=["works"])


@refreshing()
def put_maker_in_bin(maker: Maker) -> int:
    """Out of the lists and out of the dating. Returns how many finds changed their phrase."""
    maker.put_in_bin()
    return refresh_after_maker(maker)


@refreshing()
def take_maker_back(maker: Maker) -> int:
    """Back from the bin, and into the dating. Returns how many finds changed their phrase.

    Raises StillNeeded where another bears its name by now.
    """
    maker.take_out_of_bin()
    return refresh_after_maker(maker)


@refreshing()
def refresh_after_maker(maker: Maker) -> int:
    """Redate all finds with a reading (any may now read differently) and those tied to this maker.

    Returns how many finds have another phrase than before; 0 where they are so many that the worker does
    them beside the pages, and lists them there.
    """
    note_maker(maker)
    return refresh_now()
