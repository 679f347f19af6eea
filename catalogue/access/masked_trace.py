"""Traces as the log may hold them: what a database says of the words that it was given is left out.

PostgreSQL quotes them ("Key (name)=(…) already exists", "invalid input syntax …"), SQLite's search does.
"""

import re
import sqlite3
import traceback
from collections.abc import Iterator

from django.db import Error as DjangoDatabaseError

from catalogue.access.logged_address import LEFT_OUT_PART

# Names of the program's own: a table, and a column or a rule of one.
_OWN_NAME = re.compile(r"[a-z]+_[a-z0-9_]+(?:\.[a-z0-9_]+)?")
_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'|\([^()]*\)=\(.*\)")


def masked_message(error: BaseException) -> str:
    """What an error says; of a database's its first line, without words that were given to it."""
    said = str(error)
    if not said or not _is_of_database(error):
        return said
    return _QUOTED.sub(_own_or_hidden, said.splitlines()[0])


def masked_trace(error: BaseException) -> str:
    """The trace of an error and of those behind it, each message as above."""
    text = "".join(traceback.format_exception(error)).rstrip("\n")
    for each in _behind(error):
        if said := str(each):
            text = text.replace(f": {said}", f": {masked_message(each)}")
    return text


def _behind(error: BaseException) -> Iterator[BaseException]:
    seen: set[int] = set()
    waiting: list[BaseException | None] = [error]
    while waiting:
        here = waiting.pop()
        if here is not None and id(here) not in seen:
            seen.add(id(here))
            waiting += [here.__cause__, here.__context__]
            yield here


def _is_of_database(error: BaseException) -> bool:
    if isinstance(error, DjangoDatabaseError | sqlite3.Error):
        return True
    return any(kind.__module__.split(".")[0] == "psycopg" for kind in type(error).__mro__)


def _own_or_hidden(found: re.Match[str]) -> str:
    return found[0] if _OWN_NAME.fullmatch(found[0][1:-1]) else f'"{LEFT_OUT_PART}"'
