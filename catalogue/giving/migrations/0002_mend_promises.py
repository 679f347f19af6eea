"""Promises that say how they ended and not when, or when and not how; the next step makes the two agree."""

from django.db import migrations
from django.utils import timezone


def mend_promises(apps, schema_editor):
    promises = apps.get_model("giving", "Promise")._base_manager
    for promise in promises.exclude(ended="").filter(ended_on=None):
        # Ended, on no day: the last time it was changed is the nearest there is.
        promise.ended_on = timezone.localdate(promise.changed)
        promise.save(update_fields=["ended_on"])
    for promise in promises.filter(ended="", ended_on__isnull=False):
        # Open, with a day of its end: it stays open, and the day stays in the note.
        said = f"A day of its end was noted: {promise.ended_on.isoformat()}."
        promise.note = "\n".join(part for part in (promise.note, said) if part)
        promise.ended_on = None
        promise.save(update_fields=["note", "ended_on"])


class Migration(migrations.Migration):
    # A step of its own: PostgreSQL changes no table in the transaction that changed its rows.
    dependencies = [("giving", "0001_initial")]

    operations = [migrations.RunPython(mend_promises, migrations.RunPython.noop)]
