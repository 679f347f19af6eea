"""A new, empty database gets all its tables at once, instead of every step of their history.

Replaying the steps takes fifteen seconds of a laptop's time, nearly all of it spent on picturing what the
models looked like at each; the end is the same (a test compares the two). It is one transaction: a crash
leaves an empty database or a whole one. What a step writes into rows has nothing to do in a database without
rows; what every catalogue needs from the start is brought in after the tables are there.
"""

from django.apps import apps
from django.db import router, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder


def is_empty(connection: BaseDatabaseWrapper) -> bool:
    """Whether there is not one table in it."""
    return not connection.introspection.table_names()


def make_tables(connection: BaseDatabaseWrapper) -> None:
    """Make every table of this version of the program and write down that all steps are done."""
    models = [
        model
        for app in apps.get_app_configs()
        if app.models_module is not None
        for model in router.get_migratable_models(app, connection.alias)
        if model._meta.can_migrate(connection)
    ]
    steps = MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    # SQLite can change tables only while it does not watch over references, and that is switched outside.
    with connection.constraint_checks_disabled(), transaction.atomic(using=connection.alias):
        with connection.schema_editor() as editor:
            for model in models:
                editor.create_model(model)
        recorder = MigrationRecorder(connection)
        recorder.ensure_schema()
        recorder.migration_qs.bulk_create(recorder.Migration(app=app, name=name) for app, name in steps)
