"""Restore: a backup is checked to the last byte while it is unpacked beside the catalogue.

Nothing of the catalogue is touched; `access/startup/restore_swap.py` puts the fresh folder in its place.
"""

import hashlib
import threading
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from catalogue.access.startup import restore_swap
from catalogue.access.startup.folder import PICTURES, free_bytes
from catalogue.common.kept_files import OWNER_FOLDER, copy_file, new_file, sync_folder
from catalogue.database_url import FILE
from catalogue.exchange.backup import bagit, locked
from catalogue.exchange.backup.bagit import BagError
from catalogue.exchange.backup.beside import Beside, ReadBack
from catalogue.exchange.backup.contents import CONTENTS_FILE, MAX_BYTES, BackupContents, read_contents
from catalogue.exchange.backup.copying import Copier, Progress
from catalogue.exchange.backup.locked import PasswordRefused
from catalogue.exchange.backup.payload import DATABASE_PATH, check_payload_path
from catalogue.exchange.backup.restored_database import check_database, facts_of_whole, few_names
from catalogue.exchange.backup.sources import BagSource, open_source
from catalogue.exchange.backup.town_lists import check_lists, countries_in

TAG_FILES = (bagit.DECLARATION_FILE, bagit.INFO_FILE, CONTENTS_FILE)
RESTORE_ROOM_BYTES = 20_000_000


class RestoreError(Exception):
    """The backup was refused and nothing was touched; the message is the sentence for the person."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What a backup holds, by its own word and its list; `bytes` is what it needs on disk.

    `towns`: countries whose lists of towns were added.
    """

    path: Path
    contents: BackupContents
    files: int
    bytes: int
    towns: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Bag:
    source: BagSource
    contents: BackupContents
    digests: dict[str, str]


@contextmanager
def refusing(path: Path) -> Iterator[None]:
    """Turn what speaks against a backup into one sentence."""
    try:
        yield
    except BagError as error:
        raise RestoreError(f"{path.name} was not restored: {error}. Nothing was changed.") from None
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise RestoreError(f"{path.name} was not restored ({said}). Nothing was changed.") from None


def unpack(
    path: Path,
    data_folder: Path,
    *,
    password: str = "",
    progress: Progress = lambda done, of: None,
    stop: threading.Event | None = None,
) -> Checked:
    """Check a backup whole and unpack it into the data folder's waiting room, ready to be swapped in.

    Raises RestoreError with the reason, PasswordRefused, Interrupted; nothing waits then.
    """
    fresh = restore_swap.waiting_room(data_folder)
    restore_swap.clear(data_folder)
    done = False
    try:
        with refusing(path), _plain(path, password, data_folder) as plain, open_source(plain) as source:
            bag = _read_bag(source)
            checked = _checked(path, bag)
            _check_room(data_folder, checked.bytes)
            _unpack_all(bag, fresh, progress, stop or threading.Event())
            check_database(fresh / FILE, bag.contents, set(bag.digests))
            check_lists(fresh / PICTURES, bag.digests)
            restore_swap.make_ready(data_folder, bag.contents.catalogue_id)
            done = True
    finally:
        if not done:
            restore_swap.give_up(data_folder)
    return checked


def unpack_copy(path: Path, data_folder: Path) -> int:
    """Have a copy of the database that was kept before an update wait for the next start; its finds.

    The pictures stay as they are. Raises RestoreError; nothing waits then.
    """
    fresh, done = restore_swap.waiting_room(data_folder), False
    restore_swap.clear(data_folder)
    try:
        with refusing(path):
            copy_file(path, fresh / FILE)
            # Our own copy, which has triggers of ours.
            facts = facts_of_whole(fresh / FILE, own=True)
            restore_swap.make_ready(data_folder, facts.catalogue_id, with_files=False)
            done = True
    finally:
        if not done:
            restore_swap.give_up(data_folder)
    return facts.finds


@contextmanager
def _plain(path: Path, password: str, room: Path) -> Iterator[Path]:
    """The backup itself, unlocked where it is under a password."""
    if path.is_dir() or not locked.is_locked(path):
        yield path
        return
    if not password:
        raise PasswordRefused(f"{path.name} is under a password: give it.")
    _check_room(room, path.stat().st_size)
    with locked.opened(path, password, room) as plain:
        yield plain


def _checked(path: Path, bag: _Bag) -> Checked:
    payload = [length for name, length in bag.source.lengths.items() if name.startswith(bagit.PAYLOAD)]
    return Checked(path, bag.contents, len(payload), sum(payload), countries_in(bag.digests))


def _check_room(folder: Path, needed: int) -> None:
    free = free_bytes(folder)
    if free < needed + RESTORE_ROOM_BYTES:
        raise BagError(
            f"the disk of {folder} has {free // 1_000_000} MB left and it needs "
            f"{-(-(needed + RESTORE_ROOM_BYTES) // 1_000_000)} MB: make room first"
        )


def _read_bag(source: BagSource) -> _Bag:
    """Tag files read and compared with the list of files. Raises BagError."""
    there = set(source.lengths)
    if bagit.FETCH_FILE in there:
        raise BagError("it wants files fetched from elsewhere, which is never done here")
    for name in (bagit.DECLARATION_FILE, bagit.MANIFEST_FILE, CONTENTS_FILE):
        if name not in there:
            raise BagError(f"its file {name} is missing")
    bagit.check_declaration(_small(source, bagit.DECLARATION_FILE))
    digests = bagit.read_manifest(_small(source, bagit.MANIFEST_FILE), bagit.MANIFEST_FILE)
    payload = {path for path in there if path.startswith(bagit.PAYLOAD)}
    _check_same(set(digests), payload, bagit.MANIFEST_FILE)
    for path in payload:
        check_payload_path(path)
    if DATABASE_PATH not in payload:
        raise BagError("it holds no database")
    _check_tag_files(source, there - payload)
    return _Bag(source, read_contents(_small(source, CONTENTS_FILE)), digests)


def _check_same(listed: set[str], there: set[str], name: str) -> None:
    if missing := sorted(listed - there):
        raise BagError(f"{few_names(missing)} in its {name} {_is(missing)} missing from it")
    if extra := sorted(there - listed):
        raise BagError(f"{few_names(extra)} in it {_is(extra)} not in its {name}")


def _check_tag_files(source: BagSource, names: set[str]) -> None:
    """Compare what lies beside the payload with its own manifest. Raises BagError."""
    own = {bagit.MANIFEST_FILE, bagit.TAG_MANIFEST_FILE}
    if bagit.TAG_MANIFEST_FILE not in names:
        raise BagError(f"its file {bagit.TAG_MANIFEST_FILE} is missing")
    content = _small(source, bagit.TAG_MANIFEST_FILE)
    listed = bagit.read_manifest(content, bagit.TAG_MANIFEST_FILE)
    _check_same(set(listed), names - {bagit.TAG_MANIFEST_FILE}, bagit.TAG_MANIFEST_FILE)
    if strange := sorted(names - own - set(TAG_FILES)):
        raise BagError(f"it holds {few_names(strange)}, which no backup of this program has")
    for name, digest in listed.items():
        if hashlib.sha256(_small(source, name)).hexdigest() != digest:
            raise BagError(f"its file {name} is damaged")


def _small(source: BagSource, name: str) -> bytes:
    if source.lengths[name] > MAX_BYTES:
        raise BagError(f"its file {name} is far larger than any that this program writes")
    with source.stream(name) as file, _readable(name):
        return file.read(MAX_BYTES + 1)


@contextmanager
def _readable(path: str) -> Iterator[None]:
    """Whatever stops a file of a zip from being read is the backup's fault, not ours."""
    try:
        yield
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError) as error:
        raise BagError(f"its file {path} is damaged ({error})") from None


def _unpack_all(bag: _Bag, fresh: Path, progress: Progress, stop: threading.Event) -> None:
    """Copy every file to its place; each is read back from there and compared while the next is copied."""
    copier = Copier(progress, stop, ended="The restore was ended before it was whole. Nothing was changed.")
    copier.total = sum(bag.source.lengths[path] for path in bag.digests)
    folders = {fresh}
    with Beside() as beside:
        for path in bag.digests:
            place = fresh / path[len(bagit.PAYLOAD) :]
            if place.parent not in folders:
                place.parent.mkdir(mode=OWNER_FOLDER, parents=True, exist_ok=True)
                folders.add(place.parent)
            crc = _unpack_one(bag, path, place, copier)
            beside.look(place, partial(_check_written, bag, path, crc))
        beside.finish()
    for folder in folders:
        sync_folder(folder)


def _unpack_one(bag: _Bag, path: str, place: Path, copier: Copier) -> int | None:
    """Write one file to its place; the CRC-32 that it should have, where nobody has looked at that yet."""
    if stretch := bag.source.stretch(path):
        with stretch.place.open("rb", buffering=0) as source, new_file(place) as out:
            copier.copy(source, out, begin=stretch.begin, length=stretch.length)
        return stretch.crc
    length = 0
    with bag.source.stream(path) as source, new_file(place) as out, _readable(path):
        for block in copier.blocks(source):
            length += len(block)
            if length > bag.source.lengths[path]:
                raise BagError(f"its file {path} is longer than its list says")
            out.write(block)
    return None


def _check_written(bag: _Bag, path: str, crc: int | None, found: ReadBack) -> None:
    """Compare what lies in its place now with what the backup says. Raises BagError."""
    if found.length != bag.source.lengths[path] or found.digest != bag.digests[path]:
        raise BagError(f"its file {path} is damaged: it is not what its manifest says")
    if crc is not None and found.crc != crc:
        raise BagError(f"its file {path} is damaged (Bad CRC-32): the zip's own list says otherwise")


def _is(names: list[str]) -> str:
    return "is" if len(names) == 1 else "are"
