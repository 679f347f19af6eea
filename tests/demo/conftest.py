"""The demo in a test database."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from django.db import connection, transaction
from django.test.utils import override_settings

from demo_fixtures.load import fill


@pytest.fixture(scope="session")
def demo_kept(
    django_db_setup, django_db_blocker, tmp_path_factory
) -> Iterator[tuple[Path, sqlite3.Connection]]:
    """The files of the demo and a copy of its rows, where they are a file: to fill it takes 13 s."""
    folder = tmp_path_factory.mktemp("demo")
    with closing(sqlite3.connect(":memory:")) as filled, closing(sqlite3.connect(":memory:")) as empty:
        with django_db_blocker.unblock(), _files_in(folder):
            connection.ensure_connection()
            connection.connection.backup(empty)
            with transaction.atomic():
                fill()
                # What begins beside the pages once it is committed has no place in a test.
                connection.run_on_commit.clear()
            connection.connection.backup(filled)
            empty.backup(connection.connection)
        yield folder, filled


@pytest.fixture(scope="module")
def filled(request, django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[None]:
    """The demo, for all tests of a file; undone at the end."""
    folder = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock():
        how = (
            _copied(*request.getfixturevalue("demo_kept"), folder)
            if connection.vendor == "sqlite"
            else _anew()
        )
        with _files_in(folder), how:
            yield


def _files_in(folder: Path) -> override_settings:
    return override_settings(DATA_DIR=folder, MEDIA_ROOT=folder / "files")


@contextmanager
def _copied(files: Path, rows: sqlite3.Connection, folder: Path) -> Iterator[None]:
    """A copy of what was filled once; then what was there before."""
    shutil.copytree(files, folder, dirs_exist_ok=True)
    with closing(sqlite3.connect(":memory:")) as before:
        connection.ensure_connection()
        connection.connection.backup(before)
        rows.backup(connection.connection)
        try:
            yield
        finally:
            connection.ensure_connection()
            before.backup(connection.connection)


@contextmanager
def _anew() -> Iterator[None]:
    """Filled within a transaction, which is taken back."""
    whole = transaction.atomic()
    whole.__enter__()
    try:
        fill()
        yield
    finally:
        transaction.set_rollback(True)
        whole.__exit__(None, None, None)
