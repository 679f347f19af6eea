"""Parts of an address."""

from django.urls.converters import StringConverter


class FindNumber(StringConverter):
    """A catalogue number such as 2026.14.3, or 2026.14.3a for a part."""

    regex = r"[0-9]{4}\.[0-9]{1,6}\.[0-9]{1,6}[a-z]?"
