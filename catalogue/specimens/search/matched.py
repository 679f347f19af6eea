"""Questions to the database's own index; the same answers without it, only slower.

Where there is neither of the two FTS5 tables nor pg_trgm, LIKE reads the column `text` of every entry. All
is asked with a limit: a word of every second piece costs no more than one of five hundred.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.db import connection
from django.db.models.expressions import RawSQL

from catalogue.specimens.models import SearchEntry

from .index import END_OF_KEYS, KIND_STEP, TRIGRAMS, WORDS
from .kinds import KINDS, SearchKind
from .units import SHORT_TO_SEARCH, Unit

_ENTRIES = SearchEntry._meta.db_table
# So many of a kind are read and ranked; of more, the last recorded are shown.
RANKED_ROWS = 500
# Counting goes so far: that there are more is said, how many is not.
MOST_COUNTED = 2000


@dataclass(frozen=True, slots=True)
class FoundKeys:
    """Keys of records of a kind, the last recorded first, and how many there are (`counted`) or at least."""

    keys: Sequence[int]
    total: int
    counted: bool = True

    @property
    def ranked(self) -> bool:
        """Whether these are all."""
        return len(self.keys) <= RANKED_ROWS


def counted_up(keys: Sequence[int], total: int, most: int) -> FoundKeys:
    """With a total that was counted up to one more than `most`."""
    return FoundKeys(keys, min(total, most), total <= most)


class Matched:
    """A question to the index: which entries hold every unit. `fts` is asked once for a whole search."""

    def __init__(self, units: Sequence[Unit], fts: bool) -> None:
        self.units, self.fts = units, fts

    def condition(self, kind: SearchKind) -> RawSQL:
        """The keys of that kind's records, for `pk__in`."""
        sql, params = self._asked("{key}", *_span(kind))
        if kind.code:
            sql = sql.replace("SELECT {key}", f"SELECT {{key}} - {kind.code * KIND_STEP}")
        return RawSQL(self._named(sql), params)

    def by_kind(self, kinds: Sequence[SearchKind] = KINDS) -> dict[str, FoundKeys]:
        """By the key of each of these kinds that has any: its records.

        One question for a rare word, four for a common one, more only where a kind beside the finds has many.
        """
        if len(self._head) <= RANKED_ROWS:
            of_kind = _grouped(self._head)
            return {kind.key: FoundKeys(k, len(k)) for kind in kinds if (k := of_kind.get(kind.key))}
        return {kind.key: found for kind in kinds if (found := self._of(kind)).keys}

    def newest(self, kind: SearchKind, most: int) -> list[int]:
        """Keys of so many records, the last recorded first."""
        low, high = _span(kind)
        return [key - low for key in self._keys(low, high, most)]

    def count(self, kind: SearchKind) -> int:
        """How many records of that kind, or one more than `MOST_COUNTED`."""
        sql, params = self._asked("{key}", *_span(kind))
        sql = f"SELECT count(*) FROM ({sql} LIMIT {MOST_COUNTED + 1}) AS first"
        return int(_fetch(self._named(sql), params)[0][0])

    def anything(self) -> bool:
        """Whether any entry at all holds them."""
        return bool(self._head)

    @cached_property
    def _head(self) -> list[int]:
        return self._keys(0, END_OF_KEYS, RANKED_ROWS + 1)

    @cached_property
    def _elsewhere(self) -> tuple[dict[str, list[int]], int]:
        """What is found of the kinds beside the finds, and the first code of which that may not be all."""
        keys = self._keys(KIND_STEP, END_OF_KEYS, RANKED_ROWS + 1, "")
        unsure = keys[-1] // KIND_STEP if len(keys) > RANKED_ROWS else END_OF_KEYS
        return _grouped(sorted(keys, reverse=True)), unsure

    def _of(self, kind: SearchKind) -> FoundKeys:
        if kind.code:
            found, unsure = self._elsewhere
            if kind.code < unsure:
                return FoundKeys(keys := found.get(kind.key, []), len(keys))
        keys = self.newest(kind, RANKED_ROWS + 1)
        return counted_up(keys, len(keys) if len(keys) <= RANKED_ROWS else self.count(kind), MOST_COUNTED)

    def _keys(self, low: int, high: int, most: int, order: str = "DESC") -> list[int]:
        sql, params = self._asked("{key}", low, high)
        return [key for (key,) in _fetch(self._named(f"{sql} ORDER BY {{key}} {order} LIMIT {most}"), params)]

    def _named(self, sql: str) -> str:
        return sql.replace("{key}", "rowid" if self.fts else "id")

    def _asked(self, what: str, low: int, high: int) -> tuple[str, list[Any]]:
        """SQL that selects `what` of the entries in a span of keys, and its values."""
        return (_by_fts if self.fts else _by_like)(self.units, what, low, high)


def _span(kind: SearchKind) -> tuple[int, int]:
    return kind.code * KIND_STEP, (kind.code + 1) * KIND_STEP


def _grouped(keys: Iterable[int]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    codes = {kind.code: kind.key for kind in KINDS}
    for key in keys:
        found.setdefault(codes[key // KIND_STEP], []).append(key % KIND_STEP)
    return found


def _by_fts(units: Sequence[Unit], what: str, low: int, high: int) -> tuple[str, list[Any]]:
    parts: list[str] = []
    longs: list[tuple[str, str]] = []
    span = "{key} >= %s AND {key} < %s"
    for table, chosen in ((TRIGRAMS, _long(units)), (WORDS, _short(units))):
        if chosen:
            longs.append((table, " AND ".join(chosen)))
    if not longs:
        return f"SELECT {what} FROM {_ENTRIES} WHERE id >= %s AND id < %s".replace("{key}", "id"), [low, high]
    (first, asked), *others = longs
    params: list[Any] = [asked, low, high]
    for table, more in others:
        parts.append(f" AND {{key}} IN (SELECT rowid FROM {table} WHERE {table} MATCH %s AND {span})")
        params += [more, low, high]
    return f"SELECT {what} FROM {first} WHERE {first} MATCH %s AND {span}{''.join(parts)}", params


def _long(units: Sequence[Unit]) -> list[str]:
    return [_quoted(unit.texts, "") for unit in units if not _is_short(unit)]


def _short(units: Sequence[Unit]) -> list[str]:
    return [_quoted([text.strip() for text in unit.texts], "*") for unit in units if _is_short(unit)]


def _is_short(unit: Unit) -> bool:
    """Whether it is too short for trigrams."""
    return any(
        len(text.rstrip()) == len(text) <= SHORT_TO_SEARCH + text.startswith(" ") for text in unit.texts
    )


def _quoted(texts: Sequence[str], end: str) -> str:
    """Folded texts hold letters, figures and spaces alone: within quotes nothing of them is syntax."""
    quoted = [f'"{text}"{end}' for text in texts]
    return f"({' OR '.join(quoted)})"


def _by_like(units: Sequence[Unit], what: str, low: int, high: int) -> tuple[str, list[Any]]:
    parts: list[str] = []
    params: list[Any] = []
    for unit in units:
        parts.append(f" AND ({' OR '.join('text LIKE %s' for _ in unit.texts)})")
        params += [f"%{text}%" for text in unit.texts]
    sql = f"SELECT {what} FROM {_ENTRIES} WHERE {{key}} >= %s AND {{key}} < %s{''.join(parts)}"
    return sql, [low, high, *params]


def _fetch(sql: str, params: Sequence[Any]) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        return list(cursor.fetchall())
