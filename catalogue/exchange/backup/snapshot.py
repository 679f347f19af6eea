"""A consistent copy of the catalogue's database as one SQLite file, whichever engine keeps it."""

from pathlib import Path

from django.db import connections

from catalogue.access.startup.row_copy import copy_server
from catalogue.access.startup.sqlite_copy import copy_database

# Who is signed in, and what opens the door once, belongs to this machine and not into a copy of the finds.
NOT_COPIED = (
    "django_session",
    "access_onetimekey",
    "access_apikey",
    "access_wrongpassword",
    "access_wrongkey",
    "giving_requesttry",
)
# The index that search reads is made anew from its entries when the copy is opened.
SEARCH_INDEX = "specimens_search_"


def take_snapshot(copy: Path, *, using: str = "default") -> None:
    """Write the database's present state to `copy`, a SQLite file that is not there yet.

    Never called within a transaction of the same thread. Raises OSError, sqlite3.Error, DatabaseError;
    nothing is left then.
    """
    connection = connections[using]
    if connection.vendor == "sqlite":
        place = Path(str(connection.settings_dict["NAME"]))
        copy_database(place, copy, without=NOT_COPIED, made_again=SEARCH_INDEX)
    else:
        copy_server(connection, copy, without=NOT_COPIED)
