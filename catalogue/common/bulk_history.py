"""History of many rows at once: an entry of each as it stands in the store, in one statement.

The history's own bulk writer wants every row loaded whole, and sends a thousand values a statement.
"""

from collections.abc import Collection
from typing import Any

from django.db import connections, router
from django.db.models import Model
from django.utils import timezone

from catalogue.common.history_hand import hand_now, with_hand
from catalogue.common.linked_history import note_links

CREATED_MARK, CHANGED_MARK = "+", "~"


def note_history(model: type[Model], keys: Collection[int], *, mark: str = CHANGED_MARK) -> None:
    """An entry for each of these rows: changed (or made), now, by whoever this request is of. One query.

    What its rows are linked to by a table between is kept too, where their history keeps that.
    """
    if not keys:
        return
    kept: Any = model._default_manager.model.history.model  # type: ignore[attr-defined]
    store = connections[router.db_for_write(kept)]
    quote = store.ops.quote_name
    columns = ", ".join(quote(str(field.column)) for field in kept.tracked_fields)
    user, now = kept.get_default_history_user(model()), timezone.now()
    own = {
        "history_date": kept._meta.get_field("history_date").get_db_prep_save(now, store),
        "history_change_reason": with_hand(None, hand_now()),
        "history_type": mark,
        "history_user": user.pk if user else None,
    }
    named = ", ".join(quote(kept._meta.get_field(name).column) for name in own)
    table, key = quote(model._meta.db_table), quote(str(model._meta.pk.column))
    marks, wanted = ", ".join(["%s"] * len(own)), ", ".join(["%s"] * len(keys))
    with store.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {quote(kept._meta.db_table)} ({columns}, {named}) "
            f"SELECT {columns}, {marks} FROM {table} WHERE {key} IN ({wanted}) ORDER BY {key}",
            [*own.values(), *keys],
        )
    note_links(model, keys, now)
