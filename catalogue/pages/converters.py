"""Parts of an address."""

from django.urls.converters import IntConverter, StringConverter


class FindNumber(StringConverter):
    """A catalogue number such as 2026.14.3, or 2026.14.3a for a part."""

    regex = r"[0-9]{4}\.[0-9]{1,6}\.[0-9]{1,6}[a-z]?"


class WholeNumber(IntConverter):
    """A whole number that a column of the database can hold: a longer one is the number of nothing."""

    # Django's own takes any length, and a row asked for by one of twenty figures is an error of the database.
    MOST = 2**63 - 1

    def to_python(self, value: str) -> int:
        """The number; ValueError, which is "no such page", for one beyond what a column holds."""
        if len(value) > len(str(self.MOST)) or int(value) > self.MOST:
            raise ValueError("no column holds a number as large")
        return int(value)
