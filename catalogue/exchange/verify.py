"""Integrity check of the whole catalogue: database, pictures, papers, derived columns, room, backups.

Each check says what it found in a sentence; what is safe to mend can be mended, on the owner's word.
"""

import platform
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import django
from django.conf import settings
from django.db import DatabaseError, connection

from catalogue import __version__
from catalogue.access.startup import schema
from catalogue.access.startup.folder import GOOD_ROOM_MB, room_mb
from catalogue.common.kept_files import digest_of
from catalogue.exchange.backup.daily import Safety, state
from catalogue.exchange.backup.payload import digest_in
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
    """What one check found: in which part, whether all is well, and how it can safely be mended."""

    part: str
    sound: bool
    words: str
    mend: Callable[[], object] | None = None


def verify() -> Iterator[VerifiedPart]:
    """Every check in turn, the cheapest first. Reads every original: minutes for a large catalogue."""
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


def _room() -> VerifiedPart:
    free = room_mb(Path(settings.DATA_DIR))
    return VerifiedPart("Room on the disk", free >= GOOD_ROOM_MB, f"{free} MB are free.")


def _database() -> VerifiedPart:
    """Pages, indexes and references."""
    try:
        with connection.cursor() as cursor:
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA integrity_check(1)")
                found = cursor.fetchone()[0]
                if found != "ok":
                    return VerifiedPart("Database", False, f"It is damaged ({found}): restore a backup.")
        connection.check_constraints()
    except DatabaseError as error:
        words = f"It is not sound ({' '.join(str(error).split())}): restore a backup."
        return VerifiedPart("Database", False, words)
    return VerifiedPart("Database", True, "Every page, index and reference is as it should be.")


def _tables() -> VerifiedPart:
    lacking = schema.missing(connection)
    if lacking:
        return VerifiedPart("Tables", False, f"It lacks {_few(lacking)}: restore a backup.")
    return VerifiedPart("Tables", True, "Every table and column is there.")


def _papers() -> VerifiedPart:
    amiss = []
    names = {name for name in Permission.everything.values_list("file", flat=True) if name}
    for name in sorted(names):
        try:
            digest = digest_in(name)
            if digest and digest_of(papers.path_of(name)) != digest:
                amiss.append(f"{name} is damaged")
        except OSError:
            amiss.append(f"{name} is missing")
    if amiss:
        return VerifiedPart("Papers", False, f"{_few(amiss)}: bring them back from a backup.")
    return VerifiedPart("Papers", True, f"{len(names)} read and compared.")


def _town_lists() -> VerifiedPart:
    """Lists of towns that were added: each what its name says, and one that can be looked up."""
    paths, amiss = [*paths_of(IN_USE), *paths_of(LAID_ASIDE)], []
    for path in paths:
        try:
            if digest_of(path) != path.stem:
                amiss.append(f"that of {country_of(path)} is damaged")
            else:
                check_list(path)
        except (OSError, sqlite3.Error, KeyError):
            amiss.append(f"that of {country_of(path)} can't be read")
    if amiss:
        words = f"{_few(amiss)}: add it anew in the settings, or bring it back from a backup."
        return VerifiedPart("Added lists of towns", False, words)
    told = f"{len(paths)} read and compared." if paths else "None was added."
    return VerifiedPart("Added lists of towns", True, told)


def _pictures() -> Iterator[VerifiedPart]:
    report = check_pictures()
    if report.sound:
        yield VerifiedPart("Original pictures", True, f"{report.checked} read and compared.")
    else:
        amiss = [*report.missing, *report.damaged]
        words = f"{_few(amiss)}: bring them back from a backup, or send the pictures again."
        yield VerifiedPart("Original pictures", False, words)
    if report.sizes_made:
        yield VerifiedPart("Smaller pictures", True, f"Made anew for {report.sizes_made}.")


def _orphans() -> VerifiedPart:
    unknown, found = set_aside.unknown(), set_aside.leftovers()
    if unknown:
        words = (
            f"{len(unknown)} pictures lie here that this database does not know: it is an older copy, or not "
            "this folder's. Safekeeping lists them."
        )
        return VerifiedPart("Pictures that belong to nothing", False, words)
    if found:
        words = f"{len(found)} were never saved with anything: they can be set aside."
        return VerifiedPart(
            "Pictures that belong to nothing", False, words, lambda: set_aside.set_aside(found)
        )
    return VerifiedPart("Pictures that belong to nothing", True, "None.")


def _derived() -> VerifiedPart:
    keys = list(Specimen.everything.order_by("pk").values_list("pk", flat=True))
    found = sum(1 for _ in (*differences_elsewhere(), *differences(keys)))
    if found:
        words = f"{found} stored values are not what follows from the rest: they can be worked out again."
        return VerifiedPart("Worked-out columns", False, words, lambda: mend(keys))
    return VerifiedPart("Worked-out columns", True, f"Those of {len(keys)} finds agree.")


def _backups() -> VerifiedPart:
    found = state()
    last = f"The last good one was made on {found.last.at:%Y-%m-%d}." if found.last else "None was made."
    where = {
        Safety.NOT_CHOSEN: " No folder is chosen for one each day.",
        Safety.DISK_MISSING: f" The folder {found.place} is not there.",
        Safety.AMISS: f" {found.trouble}",
    }
    return VerifiedPart("Backups", found.safety is Safety.GOOD, last + where.get(found.safety, ""))


def _few(words: list[str]) -> str:
    more = f" and {len(words) - NAMED_IN_SENTENCE} more" if len(words) > NAMED_IN_SENTENCE else ""
    return f"{'; '.join(words[:NAMED_IN_SENTENCE])}{more}"
