"""A mark as it was read, as one cell of a spreadsheet that can be read in again part by part.

`where=base&letters=BW&symbol=wave&right=` is written like the query of an address. What nobody looked at is
not in it; what was looked for and is not there stands without a value.
"""

from typing import Any
from urllib.parse import parse_qsl, urlencode

from django.core.exceptions import ValidationError

from catalogue.common.text import is_storable
from catalogue.specimens.models import MarkReading
from catalogue.specimens.reading.value import COLUMNS, Reading

MOST_MARK_PARTS = len(COLUMNS)


def mark_in_cell(reading: Reading) -> str:
    """The mark with all that was read of it."""
    said = {name: getattr(reading, name) for name in COLUMNS}
    return urlencode([(name, value) for name, value in said.items() if value is not None])


def mark_from_cell(text: str) -> dict[str, Any]:
    """The columns of a reading. Raises ValueError for what is no such mark."""
    pairs = parse_qsl(text, keep_blank_values=True, strict_parsing=True, max_num_fields=MOST_MARK_PARTS)
    columns = dict(pairs)
    if not pairs or len(columns) < len(pairs) or set(columns) - set(COLUMNS):
        raise ValueError("a part is named twice, or is no part of a mark")
    if not all(map(is_storable, columns.values())):
        raise ValueError("a character of it can't be stored")
    row = MarkReading(**columns)
    try:
        row.clean_fields(exclude=["find"])
    except ValidationError as error:
        raise ValueError(" ".join(error.messages)) from error
    return {name: getattr(row, name) for name in COLUMNS}
