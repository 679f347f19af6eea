"""Where backups go, and those that were made and read back whole; spreadsheets that were taken in."""

from django.db import models

from catalogue.specimens.models import Specimen


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


class TakeIn(models.Model):
    """A spreadsheet taken in: its cells, what was said of its columns, what each row would do, what it did.

    With `done_at` it was written, and `changed` says how it is taken back. What was begun and never done is
    dropped after some weeks.
    """

    name = models.CharField(max_length=200)
    # SHA-256 of the file, so that the same one is recognised before anything is compared.
    file_digest = models.CharField(max_length=64, db_index=True)
    headings_digest = models.CharField(max_length=64)
    # The cells as JSON, compressed; empty once they are written.
    cells = models.BinaryField(default=bytes)
    row_count = models.PositiveIntegerField()
    answers = models.JSONField(default=dict)
    # Whether a person looked at the columns and said that they are right.
    columns_said = models.BooleanField(default=False)
    # What each row would do, as JSON, compressed, and its digest: what is written is what was shown.
    verdicts = models.BinaryField(default=bytes)
    verdicts_digest = models.CharField(max_length=64, blank=True)
    counts = models.JSONField(default=dict)
    # By file name: the token of the held picture, or why there is none.
    pictures = models.JSONField(default=dict)
    at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(null=True, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)
    words = models.TextField(blank=True)
    changed = models.JSONField(default=dict)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["done_at"], name="take_in_by_day")]

    def __str__(self) -> str:
        return self.words or self.name


class TakenRow(models.Model):
    """A row that was written: sent again it is known by its digest, or by the number its owner gave it."""

    take_in = models.ForeignKey(TakeIn, on_delete=models.CASCADE, related_name="taken")
    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="taken_rows")
    digest = models.CharField(max_length=64, db_index=True)
    own_number = models.CharField(max_length=200, blank=True, db_index=True)

    def __str__(self) -> str:
        return f"{self.find_id}: {self.digest[:12]}"


class KnownHeadings(models.Model):
    """What a person said of the columns of one set of headings; a next file with them begins with it."""

    digest = models.CharField(max_length=64, unique=True)
    answers = models.JSONField(default=dict)

    def __str__(self) -> str:
        return self.digest[:12]
