"""Deleting for good what lies in the bin, with its original pictures: the one way that they ever leave."""

from collections.abc import Iterable
from functools import partial
from typing import Any

from django.db import models, transaction
from django.db.models import Count, Sum
from django.db.models.deletion import Collector

from catalogue.common.records import Record, delete_for_good
from catalogue.photos import files, originals_list
from catalogue.photos.models import PictureFacts
from catalogue.photos.models.photo import kinds_of_pictures, rows_of
from catalogue.photos.originals_list import Fate

from .set_aside import FileCount


def pictures_of(records: Iterable[Record]) -> dict[int, FileCount]:
    """How many pictures, and bytes of them, go with each record of one kind: by key. A query a room."""
    rows = list(records)
    told: dict[int, FileCount] = {}
    if not rows:
        return told
    if isinstance(rows[0], PictureFacts):
        return {row.pk: FileCount(1, row.bytes) for row in rows if isinstance(row, PictureFacts)}
    for kind in kinds_of_pictures():
        for column in _columns_to(kind, type(rows[0])):
            counted = (
                kind._base_manager.filter(**{f"{column}__in": [row.pk for row in rows]})
                .order_by()
                .values_list(column)
                .annotate(Count("pk"), Sum("bytes"))
            )
            for pk, count, length in counted:
                before = told.get(pk, FileCount())
                told[pk] = FileCount(before.count + count, before.bytes + length)
    return told


def _columns_to(kind: type[PictureFacts], owner: type[models.Model]) -> list[str]:
    """The columns by which rows of `kind` go when a row of `owner` goes."""
    return [
        column.name
        for column in kind._meta.get_fields()
        if isinstance(column, models.ForeignKey)
        and column.related_model is owner
        and column.remote_field.on_delete is models.CASCADE
    ]


@transaction.atomic
def delete_with_pictures(record: Record) -> None:
    """Delete a record that lies in the bin, and after that the originals that no other row speaks of.

    Raises ValueError where others need the record, or it isn't in the bin; then nothing is deleted.
    """
    going = _pictures_going(record)
    delete_for_good(record)
    transaction.on_commit(partial(_remove_originals, going))


def _pictures_going(record: Record) -> list[tuple[str, str]]:
    """Digest and kind of every picture whose row goes with the record, by whatever way."""
    collector = Collector(using=record._state.db or "default", origin=record)
    try:
        collector.collect([record])
    except models.ProtectedError:
        return []  # `delete_for_good` says so
    rows: list[Any] = [row for found in collector.data.values() for row in found]
    rows += [row for query in collector.fast_deletes for row in query]
    return sorted({(row.sha256, row.format) for row in rows if isinstance(row, PictureFacts)})


def _remove_originals(going: list[tuple[str, str]]) -> None:
    gone = [(sha256, kind) for sha256, kind in going if not any(rows_of(sha256))]
    # Written first: after a crash between the two a file is left over, and no line says it should be there.
    originals_list.append(originals_list.line(Fate.DELETED, sha256, kind) for sha256, kind in gone)
    for sha256, kind in gone:
        files.remove_original(sha256, kind)
