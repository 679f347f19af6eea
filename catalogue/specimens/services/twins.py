"""Pieces that match and stand side by side."""

from django.db import transaction

from catalogue.specimens.models import Specimen, TwinGroup


@transaction.atomic
def match(find: Specimen, other: Specimen) -> TwinGroup:
    """Make two finds twins; each brings its own twins along. Raises ValueError for a find and itself."""
    if find.pk == other.pk:
        raise ValueError("A piece can't be its own twin.")
    group = find.twin_group or other.twin_group or TwinGroup.objects.create()
    joining = {find.pk: find, other.pk: other}
    for old in (find.twin_group, other.twin_group):
        if old is not None and old.pk != group.pk:
            joining |= {twin.pk: twin for twin in Specimen.everything.filter(twin_group=old)}
    for piece in joining.values():
        _put(piece, group)
    TwinGroup.objects.filter(finds=None).delete()
    return group


@transaction.atomic
def part_ways(find: Specimen) -> None:
    """A find leaves its twins; a twin left alone is none any more."""
    group = find.twin_group
    if group is None:
        return
    _put(find, None)
    rest = list(Specimen.everything.filter(twin_group=group)[:2])
    if len(rest) == 1:
        _put(rest[0], None)
    TwinGroup.objects.filter(finds=None).delete()


def _put(find: Specimen, group: TwinGroup | None) -> None:
    if find.twin_group_id != (group.pk if group else None):
        find.twin_group = group
        find.save(update_fields=["twin_group"])
