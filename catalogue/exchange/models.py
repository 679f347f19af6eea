"""Backups that were made and read back whole."""

from django.db import models


class BackupRun(models.Model):
    """One backup: where it was written, what it holds, and how many originals it could not have."""

    class Kind(models.TextChoices):
        FILE = "file", "one file"
        DAY = "day", "a day in the folder of backups"

    place = models.CharField(max_length=1000)
    kind = models.CharField(max_length=4, choices=Kind)
    # Index: the last one is asked for on the first page.
    at = models.DateTimeField(auto_now_add=True, db_index=True)
    files = models.PositiveIntegerField()
    bytes = models.PositiveBigIntegerField()
    lacks = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.at:%Y-%m-%d %H:%M}"
