"""Who is looking, and where files go."""

from pathlib import Path

import pytest
from django.db import connections
from django.test import Client


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory) -> None:
    """A real file where the store is SQLite: two writers at once behave as they do at home."""
    store = connections["default"].settings_dict
    if store["ENGINE"].endswith("sqlite3"):
        store["TEST"]["NAME"] = str(tmp_path_factory.mktemp("store") / "catalogue.sqlite3")


@pytest.fixture
def data_folder(settings, tmp_path: Path) -> Path:
    """A fresh folder for files of this test alone."""
    settings.DATA_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"
    return tmp_path


@pytest.fixture
def owner(db):
    """The one owner."""
    from catalogue.access.services import the_owner

    return the_owner()


@pytest.fixture
def owner_client(owner) -> Client:
    """The owner's browser."""
    client = Client()
    client.force_login(owner)
    return client
