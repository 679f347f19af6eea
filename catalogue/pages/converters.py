"""Parts of an address."""


class FindNumber:
    """A catalogue number such as 2026.14.3, or 2026.14.3a for a part."""

    regex = r"[0-9]{4}\.[0-9]{1,6}\.[0-9]{1,6}[a-z]?"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value
