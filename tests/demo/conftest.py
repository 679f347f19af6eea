"""The demo in a test database."""

import pytest

from demo_fixtures.load import fill


@pytest.fixture(scope="module")
def filled(django_db_setup, django_db_blocker, tmp_path_factory):
    """The demo in a test database, once for all tests of a file; undone at the end."""
    from django.conf import settings
    from django.db import transaction
    from django.test.utils import override_settings

    folder = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock(), override_settings(DATA_DIR=folder, MEDIA_ROOT=folder / "files"):
        assert folder == settings.DATA_DIR
        whole = transaction.atomic()
        whole.__enter__()
        try:
            fill()
            yield
        finally:
            transaction.set_rollback(True)
            whole.__exit__(None, None, None)
