"""A restored catalogue that waits, put in its place where a server keeps the database.

The rows that are there are first copied into the folder that keeps what was there before, then replaced in
one transaction, then the files change places. Each can be done twice, and the file that asks for it goes
last: after a crash the next start does it again.
"""

from pathlib import Path

from django.db import connection

from catalogue.access.new_database import is_empty
from catalogue.access.startup import restore_swap
from catalogue.access.startup.row_copy import copy_server, load_into_server
from catalogue.common.kept_files import OWNER_FOLDER
from catalogue.database_url import FILE


def swap_on_server(data_folder: Path) -> Path | None:
    """Put what waits in its place; the folder that holds what was there before, None where nothing waits.

    Raises StartRefused, OSError, sqlite3.Error, DatabaseError; then nothing of it is open, and it waits on.
    """
    if not restore_swap.is_ready(data_folder):
        return None
    fresh = restore_swap.waiting_room(data_folder) / FILE
    if fresh.exists():
        before = restore_swap.kept_folder(data_folder) / FILE
        # One that is there was made before a crash: by now the server may have the new rows.
        if not before.exists() and not is_empty(connection):
            before.parent.mkdir(mode=OWNER_FOLDER, exist_ok=True)
            copy_server(connection, before)
        load_into_server(fresh, connection)
    return restore_swap.swap(data_folder, None)
