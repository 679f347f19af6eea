"""Who is looking, and where files go."""

from pathlib import Path

import pytest
from django.test import Client


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
