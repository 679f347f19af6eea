"""Integrity check of the whole catalogue: database, pictures, papers, derived columns, room, backups.

Each check says what it found in a sentence; what is safe to mend can be mended, on the owner's word.
"""

import platform
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import wraps
from pathlib import Path

import django
from django.conf import settings
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from catalogue import __version__
from catalogue.access.startup import schema
from catalogue.access.startup.database import one_line
from catalogue.access.startup.folder import GOOD_ROOM_MB, room_mb
from catalogue.access.startup.last_backup import last_backup_offered
from catalogue.common.kept_files import digest_on_disk
from catalogue.exchange.backup.daily import Safety, state
from catalogue.exchange.backup.payload import digest_in
from catalogue.photos.renditions import make_and_note
from catalogue.photos.services import set_aside
from catalogue.photos.services.integrity import check_pictures
from catalogue.sites import papers
from catalogue.sites.models import Permission
from catalogue.specimens.derived.check import differences, differences_elsewhere, mend
from catalogue.specimens.models import Specimen
from catalogue.specimens.town_files.room import IN_USE, LAID_ASIDE, country_of, paths_of
from catalogue.specimens.town_files.store import check_list

# Of what is amiss so many are named.
NAMED_IN_SENTENCE = 5


@dataclass(frozen=True, slots=True)
class VerifiedPart:
    """What one check found: in which part, and whether all is well.

    `mend` mends what is safe to mend, and says what is there afterwards.
    """

    part: str
    sound: bool
    words: str
    mend: "Look | None" = None


def verify() -> Iterator[VerifiedPart]:
    """Every check in turn, the cheapest first. Reads every original: minutes for a large catalogue.

    A check that can't be made (a damaged table, a folder that can't be read) says so, and the others go on.
    Nothing is mended.
    """
    yield VerifiedPart("Versions", True, _versions())
    yield _room()
    yield _database()
    yield _tables()
    yield _papers()
    yield _town_lists()
    yield from _pictures()
    yield _orphans()
    yield _derived()
    yield _backups()


Look = Callable[[], VerifiedPart]


def _or_said(part: str) -> Callable[[Look], Look]:
    """Decorator of a check: where it can't be made, that is what it found."""

    def of(look: Look) -> Look:
        @wraps(look)
        def looked() -> VerifiedPart:
            try:
                return look()
            except (DatabaseError, OSError) as error:
                return VerifiedPart(part, False, f"It can't be looked at ({one_line(error)}).")

        return looked

    return of


def _versions() -> str:
    return (
        f"Siltmark {__version__}, Django {django.get_version()}, Python {platform.python_version()}, "
        f"{connection.display_name} "
        + (
            sqlite3.sqlite_version
            if connection.vendor == "sqlite"
            else str(connection.get_database_version())
        )
    )


@_or_said("Room on the disk")
def _room() -> VerifiedPart:
    free = room_mb(Path(settings.DATA_DIR))
    if free < GOOD_ROOM_MB:
        words = f"Only {free} MB are free: make room before adding pictures, {GOOD_ROOM_MB} MB at least."
        return VerifiedPart("Room on the disk", False, words)
    return VerifiedPart("Room on the disk", True, f"{free} MB are free.")


@_or_said("Database")
def _database() -> VerifiedPart:
    """Pages, indexes and references."""
    try:
        with connection.cursor() as cursor:
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA integrity_check(1)")
                found = cursor.fetchone()[0]
                if found != "ok":
                    return VerifiedPart("Database", False, f"It is damaged ({found}). {_offered()}")
        connection.check_constraints()
    except OperationalError:
        # A disk that is full, a file that can't be opened: nothing is known of what stands in it.
        raise
    except DatabaseError as error:
        words = f"It is not sound ({one_line(error)}). {_offered()}"
        return VerifiedPart("Database", False, words)
    return VerifiedPart("Database", True, "Every page, index and reference is as it should be.")


def _offered() -> str:
    """What can be restored, in the words of a start that finds the database damaged."""
    return last_backup_offered(Path(settings.DATA_DIR))


@_or_said("Tables")
def _tables() -> VerifiedPart:
    steps = MigrationExecutor(connection)
    if steps.migration_plan(steps.loader.graph.leaf_nodes()):
        words = "It is of an earlier version: start the catalogue once, which brings it up to date."
        return VerifiedPart("Tables", False, words)
    lacking = schema.missing(connection)
    if lacking:
        return VerifiedPart("Tables", False, f"It lacks {_few(lacking)}. {_offered()}")
    return VerifiedPart("Tables", True, "Every table and column is there.")


@_or_said("Papers")
def _papers() -> VerifiedPart:
    amiss = []
    names = {name for name in Permission.everything.values_list("file", flat=True) if name}
    for name in sorted(names):
        try:
            digest = digest_in(name)
            if digest and digest_on_disk(papers.path_of(name)) != digest:
                amiss.append(f"{name} is damaged")
        except OSError:
            amiss.append(f"{name} is missing")
    if amiss:
        return VerifiedPart("Papers", False, f"{_few(amiss)}: bring them back from a backup.")
    return VerifiedPart("Papers", True, _compared(len(names), "None is on record."))


def _town_lists() -> VerifiedPart:
    """Lists of towns that were added: each what its name says, and one that can be looked up."""
    paths, amiss = [*paths_of(IN_USE), *paths_of(LAID_ASIDE)], []
    for path in paths:
        try:
            if digest_on_disk(path) != path.stem:
                amiss.append(f"that of {country_of(path)} is damaged")
            else:
                check_list(path)
        except (OSError, sqlite3.Error, KeyError):
            amiss.append(f"that of {country_of(path)} can't be read")
    if amiss:
        words = f"{_few(amiss)}: add it anew in the settings, or bring it back from a backup."
        return VerifiedPart("Added lists of towns", False, words)
    return VerifiedPart("Added lists of towns", True, _compared(len(paths), "None was added."))


def _compared(count: int, none: str) -> str:
    """How many were read whole and compared with what is on record of them; of none the words for that."""
    return f"{count:,} read and compared." if count else none


def _pictures() -> Iterator[VerifiedPart]:
    try:
        report = check_pictures(make_sizes=False)
    except (DatabaseError, OSError) as error:
        yield VerifiedPart("Original pictures", False, f"They can't be looked at ({one_line(error)}).")
        return
    if report.sound:
        yield VerifiedPart("Original pictures", True, _compared(report.checked, "None is on record."))
    else:
        amiss = [*report.missing, *report.damaged]
        words = f"{_few(amiss)}: bring them back from a backup, or send the pictures again."
        yield VerifiedPart("Original pictures", False, words)
    yield _sizes(report.without_sizes)


def _sizes(lacking: Sequence[tuple[str, str]]) -> VerifiedPart:
    """The smaller copies of pictures whose originals are whole, but for those of `lacking`."""
    part, count = "Smaller pictures", len(lacking)
    if not lacking:
        return VerifiedPart(part, True, "Every whole original has them.")

    def make() -> VerifiedPart:
        return _sizes([each for each in lacking if not make_and_note(*each)])

    of = "1 original has" if count == 1 else f"{count} originals have"
    words = f"{of} none yet, or not all: an open catalogue makes them by itself, or they can be made now."
    return VerifiedPart(part, False, words, make)


@_or_said("Pictures that belong to nothing")
def _orphans() -> VerifiedPart:
    part, unknown, found = "Pictures that belong to nothing", set_aside.unknown(), set_aside.leftovers()
    if unknown:
        lie = "1 picture lies" if len(unknown) == 1 else f"{len(unknown)} pictures lie"
        words = (
            f"{lie} here that this database does not know: it is an older copy, or not this folder's. "
            "Safekeeping lists them."
        )
        return VerifiedPart(part, False, words)
    if found:

        def set_apart() -> VerifiedPart:
            set_aside.set_aside(found)
            return _orphans()

        was, it = ("1 was", "it") if len(found) == 1 else (f"{len(found)} were", "they")
        words = f"{was} never saved with anything: {it} can be set aside, where nothing is deleted."
        return VerifiedPart(part, False, words, set_apart)
    return VerifiedPart(part, True, "None.")


@_or_said("Worked-out columns")
def _derived() -> VerifiedPart:
    keys = list(Specimen.everything.order_by("pk").values_list("pk", flat=True))
    found = sum(1 for _ in (*differences_elsewhere(), *differences(keys)))
    if not found:
        of = "1 find" if len(keys) == 1 else f"{len(keys)} finds"
        return VerifiedPart("Worked-out columns", True, f"Those of {of} agree.")

    def work_out() -> VerifiedPart:
        mend(keys)
        return _derived()

    are, it = ("1 stored value is", "it") if found == 1 else (f"{found} stored values are", "they")
    words = f"{are} not what follows from the rest: {it} can be worked out again."
    return VerifiedPart("Worked-out columns", False, words, work_out)


@_or_said("Backups")
def _backups() -> VerifiedPart:
    found = state()
    made = found.last and timezone.localtime(found.last.at)
    last = f"The last good one was made on {made:%Y-%m-%d}." if made else "None was made."
    where = {
        Safety.NOT_CHOSEN: " No folder is chosen for one each day: choose one under Safekeeping.",
        Safety.DISK_MISSING: f" The folder {found.place} is not there: plug its disk in, or choose another "
        "under Safekeeping.",
        Safety.AMISS: f" {found.trouble}",
        Safety.NEVER: f" Start the catalogue, which makes one in {found.place}.",
        Safety.OLD: " That is long ago: start the catalogue, which makes one each day."
        + (f" The last try failed: {found.trouble}" if found.trouble else ""),
    }
    return VerifiedPart("Backups", found.safety is Safety.GOOD, last + where.get(found.safety, ""))


def _few(words: list[str]) -> str:
    more = f" and {len(words) - NAMED_IN_SENTENCE} more" if len(words) > NAMED_IN_SENTENCE else ""
    return f"{'; '.join(words[:NAMED_IN_SENTENCE])}{more}"
