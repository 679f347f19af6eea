"""The one writer of the search's entries and word list, and how they follow each write.

An entry is of a record that is not in the bin. Finds follow by the rules of `rules.SOURCES` like their other
derived columns; what leads from other rows to the entries of the rest stands in `ENTRY_SOURCES`. Inside
`refreshing()` entries are written once, at its end.
"""

import threading
from collections import Counter
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import connection, transaction
from django.db.models import Model, QuerySet
from django.db.models.signals import m2m_changed, post_delete, post_save, pre_delete

from catalogue.common.records import follow_updates
from catalogue.people.models import Person
from catalogue.sites.models import Dive
from catalogue.specimens.models import SearchEntry, SearchWord, Specimen
from catalogue.specimens.search.index import (
    KIND_STEP,
    forget_deleted_words,
    index_made_anew,
    key_of,
    make_index,
)
from catalogue.specimens.search.kinds import FIND, KIND_OF, KINDS, SearchKind, texts_of

from .batches import batches_of
from .word_list import count_words, listed_words, mend_words


@dataclass(frozen=True, slots=True)
class EntrySource:
    """Rows of `model` (any of `columns` changed) feed the entries of `kind` that lead to them by `lookup`."""

    model: str
    columns: str
    kind: str
    lookup: str = "pk"

    def fed_by(self, columns: frozenset[str] | None) -> bool:
        """Whether a change of these columns (None: any may have changed) is one that counts."""
        return columns is None or bool(columns & set(self.columns.split()))


ENTRY_SOURCES = (
    EntrySource("specimens.Maker", "name place from_year to_year notes binned_at", "makers"),
    EntrySource("specimens.OwnMark", "maker letters text binned_at", "makers", "own_marks"),
    EntrySource("specimens.Works", "maker name binned_at", "makers", "works"),
    EntrySource("specimens.Bottler", "name town from_year to_year source notes binned_at", "bottlers"),
    EntrySource("specimens.Town", "name region", "bottlers", "town"),
    EntrySource("specimens.Product", "name bottler contents notes binned_at", "products"),
    EntrySource("specimens.Bottler", "name", "products", "bottler"),
    EntrySource("specimens.Town", "name region notes binned_at", "towns"),
    EntrySource("sites.Site", "name water_body bottom bed_owner dangers_words notes binned_at", "sites"),
    EntrySource("sites.Dive", "site date year ordinal notes binned_at", "dives"),
    EntrySource("sites.Site", "name", "dives", "site"),
    EntrySource("people.Person", "name binned_at erased_at", "dives", "buddies"),
    EntrySource("shelves.Place", "name path kind notes binned_at", "shelves"),
    EntrySource("people.Person", "name reach notes binned_at erased_at", "people"),
)


# From so many entries on the index is made anew once they are written.
MANY = 2000


class _Waiting(threading.local):
    """What this thread has changed and not written yet."""

    depth = 0

    def __init__(self) -> None:
        self.keys: set[tuple[str, int]] = set()


_waiting = _Waiting()


@contextmanager
def entries_at_the_end() -> Iterator[None]:
    """Write the entries that follow once, at the end of the outermost of these."""
    _waiting.depth += 1
    try:
        yield
        if _waiting.depth == 1:
            _write_waiting()
    finally:
        _waiting.depth -= 1
        if not _waiting.depth:
            _waiting.keys = set()


def _write_waiting() -> None:
    keys, _waiting.keys = _waiting.keys, set()
    by_kind: dict[str, set[int]] = {}
    for kind, key in keys:
        by_kind.setdefault(kind, set()).add(key)
    for kind, of_kind in by_kind.items():
        write_entries(KIND_OF[kind], of_kind)


def write_entries(kind: SearchKind, keys: Collection[int]) -> int:
    """Bring the entries of these records up to date; how many held something else. Four queries a batch."""
    changed = 0
    for part in batches_of(keys):
        new, gone, words = _different(kind, part)
        if gone:
            SearchEntry.objects.filter(pk__in=gone).delete()
        SearchEntry.objects.bulk_create(
            new, update_conflicts=True, unique_fields=["id"], update_fields=["text", "public"]
        )
        count_words(words)
        changed += len(new) + len(gone)
    return changed


def _different(kind: SearchKind, keys: list[int]) -> tuple[list[SearchEntry], list[int], Counter[str]]:
    """Entries to be written, keys of those that go, in how many entries more or less each word stands."""
    stored = {
        key: (text, public)
        for key, text, public in SearchEntry.objects.filter(
            pk__in=[key_of(kind, key) for key in keys]
        ).values_list("pk", "text", "public")
    }
    new: list[SearchEntry] = []
    words: Counter[str] = Counter()
    for row in kind.read(keys):
        key, (text, public) = key_of(kind, row.pk), texts_of(kind, row)
        before = stored.pop(key, ("", ""))
        if text and before != (text, public):
            new.append(SearchEntry(id=key, text=text, public=public))
            words.update(listed_words(text))
            words.subtract(listed_words(before[0]))
        elif not text and before[0]:
            stored[key] = before
    for text, _ in stored.values():
        words.subtract(listed_words(text))
    return new, list(stored), words


def fill_missing() -> list[str]:
    """At start: the index where a restored copy has none, the word list where there is none, entries."""
    make_index(connection)
    if not SearchWord.objects.exists() and SearchEntry.objects.exists():
        mend_words()  # made anew when its table changed
    missing = {kind.key: set(kind.model.objects.values_list("pk", flat=True)) - _held(kind) for kind in KINDS}
    many = sum(len(keys) for keys in missing.values()) > MANY
    with transaction.atomic(), index_made_anew() if many else nullcontext():
        for kind in KINDS:
            write_entries(kind, missing[kind.key])
    return []


def keys_with_entries(kind: SearchKind) -> set[int]:
    """Keys of the records of a kind that have an entry or should have one."""
    return set(kind.model.objects.values_list("pk", flat=True)) | _held(kind)


def _held(kind: SearchKind) -> set[int]:
    low = key_of(kind, 0)
    there = SearchEntry.objects.filter(pk__gte=low, pk__lt=low + KIND_STEP)
    return {key - low for key in there.values_list("pk", flat=True)}


def differing_entries(kind: SearchKind, keys: list[int]) -> Iterator[tuple[int, str | None, str | None]]:
    """Key, stored text and what it should be, where they differ; None where there is no entry."""
    new, gone, _ = _different(kind, keys)
    texts = dict(
        SearchEntry.objects.filter(pk__in=[*gone, *(row.pk for row in new)]).values_list("pk", "text")
    )
    for row in new:
        yield row.pk % KIND_STEP, texts.get(row.pk), row.text
    for key in gone:
        yield key % KIND_STEP, texts[key], None


def note_entries(row: Model, columns: Collection[str] | None = None) -> None:
    """A row was written of which only these columns changed (None: any): its entries follow."""
    known = None if columns is None else frozenset(columns)
    _follow({(s.kind, key) for s in _sources(type(row)) if s.fed_by(known) for key in _led(s, [row.pk])})


def _follow(keys: set[tuple[str, int]]) -> None:
    _waiting.keys |= keys
    if not _waiting.depth:
        _write_waiting()


def _sources(model: type[Model]) -> tuple[EntrySource, ...]:
    return tuple(source for source in ENTRY_SOURCES if apps.get_model(source.model) is model)


def _led(source: EntrySource, keys: list[int]) -> list[int]:
    if source.lookup == "pk":
        return keys
    rows = KIND_OF[source.kind].model.everything.filter(**{f"{source.lookup}__in": keys})
    return list(rows.order_by().values_list("pk", flat=True).distinct())


def follow_entries() -> None:
    """Connect once, when the application is ready."""
    for model in {apps.get_model(source.model) for source in ENTRY_SOURCES}:
        name = f"search entries of {model.__name__}"
        post_save.connect(_saved, sender=model, dispatch_uid=name)
        pre_delete.connect(_will_go, sender=model, dispatch_uid=name)
        post_delete.connect(_gone, sender=model, dispatch_uid=name)
        follow_updates(model, _will_be_updated)
    post_delete.connect(_find_gone, sender=Specimen, dispatch_uid="search entries of finds")
    m2m_changed.connect(_buddies_changed, sender=Dive.buddies.through, dispatch_uid="search entries of dives")


def _saved(instance: Model, raw: bool, update_fields: frozenset[str] | None, **_: Any) -> None:
    if not raw:
        note_entries(instance, update_fields)
        if isinstance(instance, Person) and instance.erased_at:
            forget_deleted_words()


def _will_go(instance: Model, **_: Any) -> None:
    keys = {(s.kind, key) for s in _sources(type(instance)) for key in _led(s, [instance.pk])}
    instance.__dict__["entries_to_follow"] = keys


def _gone(instance: Model, **_: Any) -> None:
    _follow(instance.__dict__.pop("entries_to_follow", set()))


def _find_gone(instance: Specimen, **_: Any) -> None:
    write_entries(FIND, [instance.pk])


def _buddies_changed(instance: Model, action: str, reverse: bool, pk_set: set[int] | None, **_: Any) -> None:
    if action in ("post_add", "post_remove", "post_clear"):
        keys = (pk_set or set()) if reverse else {instance.pk}
        _follow({("dives", key) for key in keys})


def _will_be_updated(rows: QuerySet[Any], columns: frozenset[str]) -> Callable[[], None] | None:
    """Before many are updated at once: which entries follow."""
    sources = [source for source in _sources(rows.model) if source.fed_by(columns)]
    if not sources:
        return None
    keys = list(rows.order_by().values_list("pk", flat=True))
    before = {(source.kind, key) for source in sources for key in _led(source, keys)}

    def follow() -> None:
        # What leads to them may be what was changed.
        _follow(before | {(source.kind, key) for source in sources for key in _led(source, keys)})

    return follow
