"""A backup under a password: the zip encrypted in the open age format (age-encryption.org/v1).

age with a password alone would have to be held in memory as a whole; so the zip is encrypted, as a stream, to
a key made for it, and the key lies beside it under the password. Any age tool opens it::

    age -d -i key.age backup.zip.age > backup.zip
"""

import hashlib
import os
import secrets
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import pyrage

from catalogue.access.startup.sqlite_copy import PART
from catalogue.common.kept_files import new_file, sync_folder
from catalogue.exchange.backup.archive import check_room
from catalogue.exchange.backup.bagit import BagError
from catalogue.exchange.backup.copying import CHUNK, BackupError

KEY_FILE, LOCKED_FILE, HOW_FILE = "key.age", "backup.zip.age", "how-to-open.txt"
NAMES = (HOW_FILE, KEY_FILE, LOCKED_FILE)
# A key under a password has some hundred bytes.
KEY_MAX_BYTES = 10_000
SHORTEST = 10
BROKEN = (pyrage.DecryptError, pyrage.IdentityError, UnicodeDecodeError, KeyError, zipfile.BadZipFile)
HOW_TO_OPEN = """\
This is a backup of a Siltmark catalogue under a password.
Siltmark opens it by itself: start it, go to Safekeeping, and choose this file.
Without Siltmark, take the three files out of this zip and use any tool for the age format:

    age -d -i key.age backup.zip.age > backup.zip

The password is asked. It is kept nowhere: if it is lost, nobody can open this backup.
"""


class PasswordRefused(Exception):
    """The password is missing, or doesn't open the backup."""


def lock(plain: Path, target: Path, password: str) -> None:
    """Write `target`: the zip `plain` under a password, read back before it gets its name.

    Raises BackupError; nothing is left of it then.
    """
    if len(password) < SHORTEST:
        raise BackupError(f"A password of a backup has at least {SHORTEST} signs: a few words are good.")
    part = target.with_name(f"{target.name}{PART}")
    try:
        check_room(target.parent, plain.stat().st_size)
        part.unlink(missing_ok=True)
        with new_file(part) as out, plain.open("rb") as source:
            digest = _write(out, _Digested(source), password)
            out.flush()
            os.fsync(out.fileno())
        read = _Digested()
        with part.open("rb") as locked:
            _decrypt(locked, read, password)
        if read.digest() != digest:
            raise BackupError("What was written reads otherwise than it should: the disk is not sound.")
        os.replace(part, target)
        sync_folder(target.parent)
    except OSError as error:
        raise BackupError(f"No backup was made ({(error.strerror or str(error)).lower()}).") from error
    finally:
        part.unlink(missing_ok=True)


def is_locked(path: Path) -> bool:
    """Whether a file is a backup under a password."""
    try:
        with zipfile.ZipFile(path) as archive:
            return sorted(archive.namelist()) == sorted(NAMES)
    except (OSError, ValueError, zipfile.BadZipFile, NotImplementedError):
        return False


@contextmanager
def opened(path: Path, password: str, room: Path) -> Iterator[Path]:
    """The zip within a backup under a password, unpacked into the folder `room` while the block lasts.

    Raises PasswordRefused, BagError.
    """
    plain = room / f"opened-{secrets.token_hex(8)}.zip"
    try:
        with path.open("rb") as locked, new_file(plain) as out:
            _decrypt(locked, out, password)
        yield plain
    finally:
        plain.unlink(missing_ok=True)


def _write(out: IO[bytes], source: "_Digested", password: str) -> str:
    key = pyrage.x25519.Identity.generate()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr(HOW_FILE, HOW_TO_OPEN)
        archive.writestr(KEY_FILE, pyrage.passphrase.encrypt(f"{key}\n".encode(), password))
        with archive.open(LOCKED_FILE, "w", force_zip64=True) as entry:
            pyrage.encrypt_io(source, entry, [key.to_public()])
    return source.digest()


def _decrypt(locked: IO[bytes], out: "IO[bytes] | _Digested", password: str) -> None:
    try:
        with zipfile.ZipFile(locked) as archive:
            if archive.getinfo(KEY_FILE).file_size > KEY_MAX_BYTES:
                raise BagError(f"its {KEY_FILE} is far larger than a key")
            try:
                key = pyrage.passphrase.decrypt(archive.read(KEY_FILE), password)
            except pyrage.DecryptError:
                raise PasswordRefused("That password doesn't open this backup.") from None
            identity = pyrage.x25519.Identity.from_str(key.decode("ascii").strip())
            with archive.open(LOCKED_FILE) as entry, _told_apart():
                pyrage.decrypt_io(entry, out, [identity])
    except BROKEN as error:
        raise BagError(f"it is damaged, or was changed since it was made ({error})") from None


@contextmanager
def _told_apart() -> Iterator[None]:
    """What the library says of a changed file is an OSError without a number; the disk's have one."""
    try:
        yield
    except OSError as error:
        if error.errno is None:
            raise BagError(f"it is damaged, or was changed since it was made ({error})") from None
        raise


class _Digested:
    """What is read of a file through it, or written to it and kept nowhere, is digested on the way."""

    def __init__(self, file: IO[bytes] | None = None) -> None:
        self.file, self.running = file, hashlib.sha256()

    def read(self, size: int = CHUNK) -> bytes:
        block = self.file.read(size) if self.file else b""
        self.running.update(block)
        return block

    def write(self, block: bytes) -> int:
        self.running.update(block)
        return len(block)

    def flush(self) -> None:
        """Nothing waits."""

    def digest(self) -> str:
        return self.running.hexdigest()
