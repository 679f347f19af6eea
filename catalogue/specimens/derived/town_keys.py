"""The writer of the keys by which towns are found, whatever wrote their names."""

from collections.abc import Callable
from typing import Any

from django.db.models import QuerySet

from catalogue.common.records import follow_updates
from catalogue.specimens.models import Town


def write_town_keys(towns: QuerySet[Town]) -> None:
    """Give each of these towns the key of its name. A query, and one for each whose key is another."""
    for town in towns.order_by("pk"):
        if town.key != town.key_now():
            Town.everything.filter(pk=town.pk).update(key=town.key_now())


def follow_town_names() -> None:
    """Connect once, when the application is ready."""
    follow_updates(Town, _will_be_updated)


def _will_be_updated(rows: QuerySet[Any], columns: frozenset[str]) -> Callable[[], None] | None:
    """A key goes with its name; a town that is saved by itself brings it along (`Town.save`)."""
    if "name" not in columns:
        return None
    keys = list(rows.order_by().values_list("pk", flat=True))
    return lambda: write_town_keys(Town.everything.filter(pk__in=keys))
