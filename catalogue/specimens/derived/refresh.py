"""Derived columns follow each write in its own transaction (cache invalidation; signals: `listening.py`).

A single write is followed at once. Inside `refreshing()` the writes of a service are collected, and what
follows from them is worked out once, at its end and before it commits: a crash leaves both or neither.
"""

import threading
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager

from django.db import transaction
from django.db.models import Model, Q

from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.tables import current_reference

from .above import columns_above, refresh_above
from .entries import entries_at_the_end, write_entries
from .redating import note_untouched, redate_keys, worker
from .rules import ITSELF, OF_ONE_FIND, Feeds, sources_of
from .writer import (
    STORED,
    put_off,
    redate,
    redate_touched,
)

# Years of more finds than these, changed in one step, are left to the worker, where one runs.
DATED_AT_ONCE = 200
# More finds with a mark are redated beside the pages, where a worker runs: too many to wait for.
REDATED_AT_ONCE = 2000


class _Pending(threading.local):
    """What this thread has changed and not followed up yet; a connection belongs to one thread."""

    def __init__(self) -> None:
        self.depth = 0
        self.writing = False
        self.putting_off = False
        self.forget()

    def forget(self) -> None:
        self.touched: set[int] = set()  # finds that a person changed: their years
        self.years: set[int] = set()  # finds that follow something else: their years
        self.search: set[int] = set()
        self.above: set[int] = set()  # finds of which an app above works out a column
        self.tables = False
        self.tied: set[int] = set()  # finds tied to a maker whose marks changed
        self.shown: dict[int, Specimen] = {}  # the finds themselves as somebody holds them

    def anything(self) -> bool:
        return bool(self.touched or self.years or self.search or self.above or self.tables)


_pending = _Pending()


@contextmanager
def refreshing() -> Iterator[None]:
    """A transaction at whose end derived columns are brought up to date; nested ones leave it to the first.

    Also a decorator: `@refreshing()`.
    """
    with transaction.atomic(), entries_at_the_end():
        _pending.depth += 1
        try:
            yield
            if _pending.depth == 1:
                refresh_now()
        finally:
            _pending.depth -= 1
            if _pending.depth == 0:
                _pending.forget()


@contextmanager
def years_beside_the_pages(finds: int) -> Iterator[bool]:
    """Around `refresh_now` in a step on so many finds: whether their years are left to the worker.

    They say so meanwhile (`writer.put_off`). Where no worker runs they are dated at once.
    """
    before = _pending.putting_off
    _pending.putting_off = before or (worker.running and finds > DATED_AT_ONCE)
    try:
        yield _pending.putting_off
    finally:
        _pending.putting_off = before


def refresh_find(find: Specimen) -> Specimen:
    """Bring all derived columns of one find up to date, also on the object given; the history keeps it."""
    with _writing():
        redate(find)
        write_entries(FIND, [find.pk])
    for waiting in (_pending.touched, _pending.years, _pending.search):
        waiting.discard(find.pk)
    _pending.shown.pop(find.pk, None)
    return find


def refresh_now() -> int:
    """Follow up what was collected; how many finds have another phrase than before."""
    if not _pending.anything():
        return 0
    touched, years, search = _pending.touched, _pending.years - _pending.touched, set(_pending.search)
    tables, tied, shown, above = _pending.tables, _pending.tied, _pending.shown, _pending.above
    _pending.forget()
    with transaction.atomic(), _writing():
        if tables and not _left_to_worker(tied):
            years |= _with_a_mark(tied) - touched
        changed = _redate_touched(touched)
        changed += max((done.changed for done in redate_keys(years)), default=0) if years else 0
        if tables:
            note_untouched(current_reference())
        write_entries(FIND, search | touched)
        refresh_above(above)
    _show(shown)
    return changed


def _redate_touched(keys: Collection[int]) -> int:
    if not (keys and _pending.putting_off):
        return redate_touched(keys)
    put_off(keys)
    _wake_worker()
    return 0


def note(row: Model, columns: Iterable[str] | None = None, *, gone: Collection[int] | None = None) -> None:
    """Something was written: a row, of which only these columns changed (None: any).

    `gone`: the row is deleted, and these finds led to it. Follows at once outside of `refreshing()`.
    """
    if _pending.writing:
        return
    known = None if columns is None else frozenset(columns)
    for source in sources_of(type(row)):
        if source.fed_by(known) and (not source.needs or gone is not None or _has(row, source.needs)):
            keys = finds_of(row, source.lookups) if gone is None else set(gone)
            _collect(keys, source.feeds, touched=source.of_one_find)
            if source.lookups == ITSELF and isinstance(row, Specimen):
                _pending.shown[row.pk] = row
    _follow_unless_collecting()


def note_finds(keys: Collection[int], feeds: Feeds, *, touched: bool = False) -> None:
    """These finds have to follow; `touched`: as a person changed them."""
    if not _pending.writing:
        _collect(keys, feeds, touched=touched)
        _follow_unless_collecting()


def note_maker(maker: Maker) -> None:
    """All that may hang on a maker and its marks has to follow. Call it inside of `refreshing()`."""
    tied = finds_of(maker, ("maker", "opinions__maker"))
    _collect(tied, Feeds.SEARCH, touched=False)
    _collect(tied, Feeds.TABLES, touched=False)


def finds_of(row: Model, lookups: tuple[str, ...]) -> set[int]:
    """Keys of the finds that a row bears on, the bin included."""
    if not lookups:
        return set()
    if lookups == ITSELF:
        return {row.pk}
    if lookups in OF_ONE_FIND or any(field.name == "find" for field in row._meta.concrete_fields):
        return {row.serializable_value("find")}
    led = Q(*((lookup, row.pk) for lookup in lookups), _connector=Q.OR)
    return set(Specimen.everything.filter(led).values_list("pk", flat=True))


def _collect(keys: Collection[int], feeds: Feeds, *, touched: bool) -> None:
    if Feeds.YEARS in feeds:
        (_pending.touched if touched else _pending.years).update(keys)
    if Feeds.SEARCH in feeds:
        _pending.search.update(keys)
    if Feeds.ABOVE in feeds:
        _pending.above.update(keys)
    if Feeds.TABLES in feeds:
        _pending.tables = True
        _pending.tied.update(keys)


def _follow_unless_collecting() -> None:
    if _pending.depth:
        return
    if _pending.tables:
        # A lone write to a mark or a code may be one of several: the stamp of the tables tells `stale` of it.
        _pending.tables = False
        _pending.tied.clear()
        _wake_worker()
    refresh_now()


def _with_a_mark(tied: Collection[int]) -> set[int]:
    """Finds that may read differently with other marks, and those tied to a maker that has them."""
    read = Specimen.everything.filter(readings__isnull=False).values_list("pk", flat=True)
    return {*read, *tied}


def _left_to_worker(tied: Collection[int]) -> bool:
    """Whether a worker does them beside the pages, and lists there what changed."""
    if worker.running and len(_with_a_mark(tied)) > REDATED_AT_ONCE:
        _wake_worker()
        return True
    return False


def _wake_worker() -> None:
    """Once the change is committed: the worker reads on a connection of its own."""
    if worker.running:
        transaction.on_commit(worker.wake)


def _show(finds: dict[int, Specimen]) -> None:
    """Put the columns as they are now into the objects that somebody holds and may save again."""
    if finds:
        for fresh in Specimen.everything.filter(pk__in=finds).select_related("maker"):
            for name in (*STORED, *columns_above()):
                setattr(finds[fresh.pk], name, getattr(fresh, name))


def _has(row: Model, relation: str) -> bool:
    return bool(getattr(row, relation).exists())


@contextmanager
def _writing() -> Iterator[None]:
    """What the writer itself writes is no change to follow."""
    before, _pending.writing = _pending.writing, True
    try:
        yield
    finally:
        _pending.writing = before
