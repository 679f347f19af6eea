"""A database that lacks a table or a column is said before it opens."""

import pytest
from django.db import connection

from catalogue.access.models import OneTimeKey, WrongPassword
from catalogue.access.startup import StartRefused, database, schema
from catalogue.specimens.models import Specimen

pytestmark = pytest.mark.django_db


def test_one_that_is_whole_passes(django_assert_num_queries):
    with django_assert_num_queries(1):
        schema.check(connection)


def test_a_dropped_column_is_named_before_anything_opens():
    with connection.cursor() as cursor:
        cursor.execute(f"ALTER TABLE {Specimen._meta.db_table} DROP COLUMN story")
    with pytest.raises(
        StartRefused, match="lacks the column story of specimens_specimen, .*nothing was changed"
    ):
        database.bring_up_to_date()


def test_many_are_counted():
    with connection.cursor() as cursor:
        for model in (OneTimeKey, WrongPassword):
            cursor.execute(f"DROP TABLE {model._meta.db_table}")
        for column in ("story", "notes"):
            cursor.execute(f"ALTER TABLE {Specimen._meta.db_table} DROP COLUMN {column}")
    assert set(schema.missing(connection)) == {
        "the table access_onetimekey",
        "the table access_wrongpassword",
        "the column story of specimens_specimen",
        "the column notes of specimens_specimen",
    }
    with pytest.raises(StartRefused, match="and 1 more, which"):
        schema.check(connection)
