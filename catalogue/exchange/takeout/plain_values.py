"""A row as values that JSON has: numbers, texts, lists; what is empty is left out."""

import dataclasses
from datetime import date
from decimal import Decimal
from typing import Any

from .rows import PUBLIC_FIELDS, FindRow, Lettering

Json = str | int | float | bool | list[Any] | dict[str, Any]


def plain_values(row: FindRow, *, public: bool) -> dict[str, Json]:
    """Field name, with its unit, → value; of those that visitors may see if `public`."""
    fields = (each.name for each in dataclasses.fields(row) if not public or each.name in PUBLIC_FIELDS)
    values = {name: getattr(row, name) for name in fields}
    return {name: plain_value(value) for name, value in values.items() if value not in (None, "", ())}


def plain_value(value: Any) -> Json:
    """One of them. A day is ISO 8601."""
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [plain_value(each) for each in value]
    if isinstance(value, Lettering):
        return {name: text for name, text in dataclasses.asdict(value).items() if text}
    known: Json = value
    return known
