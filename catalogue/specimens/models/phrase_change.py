"""What a redating changed in words."""

from django.db import models

from .specimen import Specimen


class PhraseChange(models.Model):
    """A find's phrase was one thing and became another, though nobody touched the find."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="phrase_changes")
    # Index: the newest changes are listed first.
    at = models.DateTimeField(auto_now_add=True, db_index=True)
    was = models.CharField(max_length=200)
    now = models.CharField(max_length=200)
    tables = models.CharField("reference tables used", max_length=80, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.find_id}: {self.was} → {self.now}"
