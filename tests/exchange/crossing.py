"""``python -m tests.exchange.crossing WORD…``: one step of the crossing tests, in a process of its own.

The catalogue is what SILTMARK_DATA and DATABASE_URL name, as for the program itself.
"""

import json
import os
import sys
from itertools import islice
from pathlib import Path
from typing import Any

import django

PICTURES = 6

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")


def fill() -> None:
    """A new catalogue with the invented finds and an id, as a start leaves it."""
    from django.conf import settings
    from django.core.management import call_command

    from catalogue.access.startup import identity

    call_command("migrate", verbosity=0)
    identity.settle(Path(settings.DATA_DIR))
    from demo_fixtures import load

    # Most of its time goes into pictures, and their rows are all alike.
    plans = list(islice(load.planned(), PICTURES))
    vars(load).update(planned=lambda: plans, _lay=lambda *ignored: None)
    load.fill()


def rows() -> None:
    """Print every row of every table that a backup holds, by table."""
    from catalogue.access.startup.row_copy import present_tables
    from catalogue.exchange.backup.snapshot import NOT_COPIED

    found: dict[str, Any] = {}
    for model in present_tables():
        if model._meta.db_table not in NOT_COPIED:
            names = [field.attname for field in model._meta.local_concrete_fields]
            listed = model._base_manager.order_by("pk").values_list(*names)
            found[model._meta.db_table] = [[_told(value) for value in row] for row in listed]
    print(json.dumps(found))


def _told(value: Any) -> str:
    """The same for equal values: PostgreSQL keeps the names in a JSON object in an order of its own."""
    return json.dumps(value, sort_keys=True) if isinstance(value, dict | list) else repr(value)


def insert() -> None:
    """Write one more row into each series of keys that the next find, dive and history use."""
    from catalogue.people.models import Person
    from catalogue.specimens.models import Specimen
    from catalogue.specimens.services import keep_find

    find = keep_find(Specimen(what="Written after the crossing"))
    person = Person.objects.create(name="Ines Late")
    assert Specimen.objects.get(pk=find.pk).history.exists()
    print(f"kept {find.number} {person.pk}")


def series() -> None:
    """Print every table whose next key is one that a row has already. PostgreSQL alone."""
    from django.db import connection

    from catalogue.access.startup.row_copy import present_tables

    behind = []
    with connection.cursor() as cursor:
        for model in present_tables():
            key = model._meta.pk
            table, column = model._meta.db_table, str(key.column if key else "")
            cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [f'"{table}"', column])
            (name,) = cursor.fetchone()
            if name:
                cursor.execute(f'SELECT nextval(\'{name}\'), (SELECT max("{column}") FROM "{table}")')
                following, last = cursor.fetchone()
                if last is not None and following <= last:
                    behind.append(table)
    print(json.dumps(behind))


def unpack() -> None:
    """Check a backup and leave it waiting, as the browser's page does."""
    from django.conf import settings

    from catalogue.exchange.backup.restore import unpack as unpack_backup

    unpack_backup(Path(sys.argv[2]), Path(settings.DATA_DIR))


if __name__ == "__main__":
    django.setup()
    {"fill": fill, "rows": rows, "insert": insert, "series": series, "unpack": unpack}[sys.argv[1]]()
