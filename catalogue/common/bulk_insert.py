"""Bulk insert: a row for each of many rows of another table, in one statement (INSERT … SELECT … RETURNING).

`bulk_create` makes an object of every row and sends every value: for thousands of moves that took longer than
the act itself. No signal is sent, as it sends none either.
"""

from collections.abc import Collection, Mapping
from typing import Any, cast

from django.db import connections, router
from django.db.models import Field, Model


def insert_for_each(
    model: type[Model],
    source: type[Model],
    keys: Collection[int],
    *,
    copied: Mapping[str, str],
    **values: Any,
) -> list[list[int]]:
    """Insert a row for each of these rows of `source`; value of the first copied column and key of each.

    `copied`: columns of the new row, each with the column of `source` that it takes its value from. `values`
    are the same in all of them; columns that neither names have their default. One query.
    """
    if not keys:
        return []
    store = connections[router.db_for_write(model)]
    quote = store.ops.quote_name

    def column(of: type[Model], name: str) -> str:
        return quote(str(cast("Field[Any, Any]", of._meta.get_field(name)).column))

    taken = {column(model, name): column(source, other) for name, other in copied.items()}
    blank = model(**values)
    own = {
        quote(str(field.column)): field.get_db_prep_save(field.pre_save(blank, add=True), store)
        for field in model._meta.local_concrete_fields
        if not field.primary_key and quote(str(field.column)) not in taken
    }
    wanted = ", ".join(["%s"] * len(keys))
    key = column(source, "id")
    with store.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {quote(model._meta.db_table)} ({', '.join([*taken, *own])}) "
            f"SELECT {', '.join([*taken.values(), *['%s'] * len(own)])} "
            f"FROM {quote(source._meta.db_table)} WHERE {key} IN ({wanted}) ORDER BY {key} "
            f"RETURNING {next(iter(taken))}, {column(model, 'id')}",
            [*own.values(), *keys],
        )
        return sorted([list(row) for row in cursor.fetchall()], key=lambda row: row[1])
