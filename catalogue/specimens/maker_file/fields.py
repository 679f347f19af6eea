"""Values of a file put into unsaved rows of the database, each refused by its key path."""

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import models

from catalogue.common.text import is_storable

from .errors import MakerFileError

Row = TypeVar("Row", bound=models.Model)


def mapping(value: object, at: str, known: set[str]) -> Mapping[str, Any]:
    """An object whose keys are all known."""
    if not isinstance(value, dict):
        raise MakerFileError("an object with keys is expected here", at)
    for key in value:
        if key not in known:
            near = get_close_matches(key, sorted(known), n=1)
            hint = f"; did you mean “{near[0]}”?" if near else ""
            raise MakerFileError(f"“{key[:40]}” is not known here{hint}", f"{at}.{key[:40]}".lstrip("."))
    return value


def items(value: object, at: str, most: int) -> list[object]:
    """A list of at most so many; a missing one is empty."""
    if value is None:
        return []
    if not isinstance(value, list):
        raise MakerFileError("a list is expected here", at)
    if len(value) > most:
        raise MakerFileError(f"{len(value)} are too many; at most {most} are taken", at)
    return value


def text(value: object, at: str, longest: int = 200) -> str:
    """Text of reasonable length; nothing is empty text."""
    if value is None:
        return ""
    if not isinstance(value, str):
        raise MakerFileError("text in quotation marks is expected here", at)
    if not is_storable(value):
        raise MakerFileError("a character here can't be kept", at)
    if len(value) > longest:
        raise MakerFileError(f"longer than {longest} characters", at)
    return value.strip()


def row_of(kind: type[Row], given: Mapping[str, Any], keys: Mapping[str, str], at: str) -> Row:
    """An unsaved row with the values of those keys (key of the file → column), checked one by one."""
    row = kind()
    for key, column in keys.items():
        if given.get(key) is not None:
            field = kind._meta.get_field(column)
            assert isinstance(field, models.Field), column
            setattr(row, column, _value(given[key], field, f"{at}.{key}"))
    key_of = {column: key for key, column in keys.items()}
    others = {field.name for field in kind._meta.fields} - set(key_of)
    try:
        row.clean_fields(exclude=others)
        row.validate_constraints(exclude=others)
    except ValidationError as error:
        raise _refusal(error, key_of, at) from error
    return row


def _value(value: object, field: "models.Field[Any, Any]", at: str) -> Any:
    if isinstance(field, models.BooleanField):
        if not isinstance(value, bool):
            raise MakerFileError("true or false is expected here", at)
        return value
    if isinstance(field, models.IntegerField):
        if isinstance(value, bool) or not isinstance(value, int):
            raise MakerFileError("a year in whole numbers is expected here", at)
        return value
    words = text(value, at, field.max_length or 10_000)
    return words or field.get_default()


def _refusal(error: ValidationError, key_of: Mapping[str, str], at: str) -> MakerFileError:
    column, messages = next(iter(error.message_dict.items()))
    message = messages[0].rstrip(".")
    return MakerFileError(
        message[:1].lower() + message[1:], f"{at}.{key_of[column]}" if column in key_of else at
    )
