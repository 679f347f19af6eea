"""What the search reads: one row for each record that is not in the bin, and the words of all of them.

Derived rows: only `specimens/derived/entries.py` writes them.
"""

from django.db import models


class SearchEntry(models.Model):
    """The folded text of one record. The key says of which: its kind's number and its own key."""

    id = models.BigIntegerField(primary_key=True)
    # Everything typed about it, a line for each field.
    text = models.TextField()
    # The part of it that a visitor reads where the record is shown at all.
    public = models.TextField(blank=True)

    class Meta:
        verbose_name_plural = "search entries"

    def __str__(self) -> str:
        return self.text.strip()[:60]


class SearchWord(models.Model):
    """A word of the catalogue, and in how many entries it stands: likely ones are looked for among these."""

    word = models.CharField(max_length=40, unique=True)
    entries = models.PositiveIntegerField()

    def __str__(self) -> str:
        return self.word


class WordDeletion(models.Model):
    """Under which keys a word is found by one with wrong letters (`search/spelling.py::listed_keys`).

    The key is all there is: the hash of the word with letters taken out, then the word's own key.
    """

    # given, never counted up; of this type it is SQLite's own key of rows, at half the size
    id = models.BigAutoField(primary_key=True)

    def __str__(self) -> str:
        return str(self.pk)
