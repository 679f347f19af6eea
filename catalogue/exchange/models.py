"""Where backups go, and those that were made and read back whole."""

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


class BackupPlan(models.Model):
    """The one row that says where a backup goes each day, and how the last try ended.

    It is this machine's: a catalogue restored on another one finds the folder missing, and says so.
    """

    place = models.CharField("folder of backups", max_length=1000, blank=True)
    keep_days = models.PositiveSmallIntegerField("days kept", default=30)
    tried_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=500, blank=True)
    looked_through_at = models.DateTimeField(null=True, blank=True)
    found_amiss = models.CharField(max_length=500, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="one_backup_plan"),
            models.CheckConstraint(
                condition=models.Q(keep_days__gte=1, keep_days__lte=3650), name="backups_are_kept_for_days"
            ),
        ]

    def __str__(self) -> str:
        return f"a backup each day to {self.place}" if self.place else "no backup each day"

    @classmethod
    def current(cls) -> "BackupPlan":
        """The one row, unsaved where nothing was chosen yet."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)
