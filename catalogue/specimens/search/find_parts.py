"""What was read on finds and is thought of them, as the search reads it: three tables in one statement.

The sheet under the box shows a handful of finds: three queries by Django's models took longer than the index.
"""

from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from django.db import connection

from catalogue.specimens.models import Inscription, MarkReading, Opinion, Specimen
from catalogue.specimens.models.words import Where

_WHERE = {value: str(words) for value, words in Where.choices}
_ABOUT = {value: str(words) for value, words in Opinion.About.choices} | {Opinion.About.MADE.value: "years"}


class FindPart(NamedTuple):
    """Some text of a find, and where it stands or what it is about."""

    about: str
    text: str


class FindParts(NamedTuple):
    """Lettering and marks in the order of reading, opinions the last first."""

    lettering: list[FindPart]
    marks: list[FindPart]
    opinions: list[FindPart]


def read_find_parts(finds: Sequence[Specimen]) -> None:
    """Hang `searched_parts` on each of these finds. One query, none for no find."""
    parts = {find.pk: FindParts([], [], []) for find in finds}
    if not parts:
        return
    # whole numbers of ours, written out: three times five hundred values are more than an old SQLite takes
    keys = ", ".join(str(int(key)) for key in parts)
    with connection.cursor() as cursor:
        cursor.execute(_asked().replace("{keys}", keys))
        rows = cursor.fetchall()
    for table, key, about, text, more, _, _ in sorted(rows, key=lambda row: (row[5], row[6])):
        of_find = parts[key]
        if table == 0:
            of_find.lettering.append(FindPart(_WHERE.get(about, about), text))
        elif table == 1:
            of_find.marks.append(FindPart(_WHERE.get(about, about), text))
        else:
            of_find.opinions.insert(0, FindPart(_ABOUT.get(about, about), f"{text} {more}"))
    for find in finds:
        find.searched_parts = parts[find.pk]  # type: ignore[attr-defined]  # read by `find_fields`


@cache
def _asked() -> str:
    """Table, find, about, text, more text, day and key of each part of the finds {keys}."""
    return " UNION ALL ".join(
        (
            _of_table(0, Inscription, "where", "text"),
            _of_table(1, MarkReading, "where", "letters"),
            _of_table(2, Opinion, "about", "value", "reason", "on"),
        )
    )


def _of_table(number: int, model: Any, about: str, text: str, more: str = "", day: str = "") -> str:
    quote = connection.ops.quote_name

    def column(name: str) -> str:
        return quote(model._meta.get_field(name).column)

    said = f"{column(about)}, {column(text)}, " + (column(more) if more else "''")
    at = f"CAST({column(day)} AS varchar(10))" if day else "''"
    return (
        f"SELECT {number}, {column('find')}, {said}, {at}, {column('id')} FROM {quote(model._meta.db_table)} "
        f"WHERE {column('binned_at')} IS NULL AND {column('find')} IN ({{keys}})"
    )
