"""The table within a code: ``G=1935;H=1936`` (letters), ``.=193X`` (dots), ``3=Marrowby,1921-1935``."""

import re
from functools import lru_cache

TABLED = ("letter-table", "dot-table", "works-table")
_SPAN = re.compile(
    r"(?:(?P<works>[^,]*),)?\s*(?:(?P<a>\d{4})\s*(?:[-–]\s*(?P<b>\d{4})?)?|(?P<decade>\d{3})[Xx]|(?P<tens>\d{3}0)s)$"
)

Years = tuple[int, int]


@lru_cache(maxsize=512)
def entries(table: str) -> dict[str, tuple[str, Years]]:
    """Key → (works or empty, first and last year); raises ValueError with what is wrong."""
    found: dict[str, tuple[str, Years]] = {}
    for part in filter(None, (p.strip() for p in table.split(";"))):
        key, equals, value = part.rpartition("=")
        key = key.strip().upper()
        match = _SPAN.match(value.strip())
        if not equals or not key or not match:
            raise ValueError(f"“{part[:40]}” is not of the form key=year")
        if key in found:
            raise ValueError(f"“{key}” is there twice")
        found[key] = ((match["works"] or "").strip(), _years(match))
    if not found:
        raise ValueError("the table is empty")
    return found


def _years(match: re.Match[str]) -> Years:
    if match["decade"]:
        return int(match["decade"]) * 10, int(match["decade"]) * 10 + 9
    if match["tens"]:
        return int(match["tens"]), int(match["tens"]) + 9
    first = int(match["a"])
    last = int(match["b"]) if match["b"] else first
    if match.group(0).rstrip().endswith(("-", "–")):
        last = 2999
    if last < first:
        raise ValueError(f"years out of order: {last} is before {first}")
    return first, last


def problem(kind: str, table: str) -> str:
    """What is wrong with a code's table, or nothing."""
    try:
        entries(table)
    except ValueError as error:
        return f"{kind}: {error}"
    return ""
