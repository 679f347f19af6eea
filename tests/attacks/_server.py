"""Attacks and faults on PostgreSQL: each in a new database of the server that DATABASE_URL names."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit, urlunsplit

from tests.running import STORE

# Those in which nothing is a matter of SQLite's file.
ATTACKS_ON_A_SERVER = ("binned_beneath", "one_find_many_writers", "sheet_sent_by_eight", "strangers")
FAULTS_ON_A_SERVER = ("killed", "many_writers", "requests")


def on_a_server() -> bool:
    """Whether a server is named, by a user who may make databases."""
    return bool(os.environ.get("DATABASE_URL"))


@contextmanager
def new_database(of: str) -> Iterator[None]:
    """While it lasts, what is started keeps its rows there; without a server nothing is done."""
    if not on_a_server():
        yield
        return
    import psycopg
    from psycopg.sql import SQL, Identifier

    url, name = os.environ["DATABASE_URL"], f"siltmark_{of}"
    with psycopg.connect(url, autocommit=True) as server:
        server.execute(SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(Identifier(name)))
        server.execute(SQL("CREATE DATABASE {}").format(Identifier(name)))
        STORE["DATABASE_URL"] = urlunsplit(urlsplit(url)._replace(path=f"/{name}"))
        try:
            yield
        finally:
            STORE.clear()
            server.execute(SQL("DROP DATABASE {} WITH (FORCE)").format(Identifier(name)))
