"""What the code of a place's own label holds, read back: an address that ends in /p/12/, or PLACE-12.

The one parser of it, for the search, a walk round the shelves and pictures of labels. Numbers of finds are
read by `specimens/number_list.py`. A place is not written P-12: that may stand on a field tag, whose letters
are chosen freely (one to three of them).
"""

import re
from typing import Final

_PLACE: Final = re.compile(
    r"(?:(?:https?://)?[^\s/?#]+/p/|/p/|place[-\s]?)0*([1-9]\d{0,17})/?(?:[?#]\S*)?", re.I
)


def place_text(pk: int) -> str:
    """What stands for a place where no address is printed."""
    return f"PLACE-{pk}"


def place_key_of(text: str) -> int | None:
    """The key of the place that a scanned or typed text names; None for anything else. Asks no database."""
    found = _PLACE.fullmatch(text.strip())
    return int(found[1]) if found and found[1].isascii() else None
