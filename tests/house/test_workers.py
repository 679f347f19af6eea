"""Test isolation: workers of one test run don't share a database."""

import pytest
from django.db import connection


@pytest.mark.django_db
def test_each_worker_has_a_database_of_its_own(worker_id, tmp_path_factory):
    """On a server by a suffix of its name, else by a file in the worker's own folder."""
    name = str(connection.settings_dict["NAME"])
    if connection.vendor == "sqlite":
        assert name.startswith(str(tmp_path_factory.getbasetemp()))
    elif worker_id == "master":
        assert name.startswith("test_")
    else:
        assert name.startswith("test_") and name.endswith(f"_{worker_id}")
