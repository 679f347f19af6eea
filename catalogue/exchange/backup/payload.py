"""The payload of a backup: the database, and every file of the data folder that can't be made again."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from catalogue.access.startup.identity import REMADE
from catalogue.exchange.backup.bagit import PAYLOAD, BagError
from catalogue.exchange.backup.bagit import check_path as check_bag_path
from catalogue.specimens.town_files.room import TOWN_FILE, TOWN_ROOM

DATABASE_PATH = f"{PAYLOAD}catalogue.sqlite3"
FILES_PREFIX = f"{PAYLOAD}files/"
# Files named by their digest never change; of the others a later backup takes the newer one.
BY_DIGEST = re.compile(r"([0-9a-f]{64})\.[a-z0-9.]{1,20}")
HALF_WRITTEN = (".part",)


@dataclass(frozen=True, slots=True)
class PayloadFile:
    """One file of the data folder: its path in the bag, where it lies, its length in bytes."""

    path: str
    place: Path
    length: int

    @property
    def digest(self) -> str | None:
        """The SHA-256 that its name carries; None for one that is not named by it."""
        return digest_in(self.path)


def digest_in(path: str) -> str | None:
    """The SHA-256 in the last part of a path, where the file is named by it."""
    found = BY_DIGEST.fullmatch(path.rsplit("/", 1)[-1])
    return found[1] if found else None


def files_to_keep() -> Iterator[PayloadFile]:
    """Every file below `files` that can't be made again, by path. What goes meanwhile is passed over.

    Links are followed by nobody here: a link to a folder of pictures as a whole is `files` itself.
    """
    root = Path(settings.MEDIA_ROOT)
    rooms = sorted(root.iterdir()) if root.is_dir() else []
    for room in rooms:
        if room.name in REMADE:
            continue
        found = [room] if room.is_file() else sorted(room.rglob("*"))
        for place in found:
            if place.is_symlink() or not place.is_file() or place.name.endswith(HALF_WRITTEN):
                continue
            try:
                length = place.stat().st_size
            except FileNotFoundError:
                continue
            yield PayloadFile(f"{FILES_PREFIX}{place.relative_to(root).as_posix()}", place, length)


def check_payload_path(path: str) -> None:
    """Raise BagError for a file that no backup of this program holds."""
    check_bag_path(path)
    if path == DATABASE_PATH:
        return
    below = path.removeprefix(FILES_PREFIX)
    room = below.split("/")[0]
    odd_list = room == TOWN_ROOM and not TOWN_FILE.fullmatch(below)
    if not path.startswith(FILES_PREFIX) or room in REMADE or odd_list:
        raise BagError(f"it holds {path[:80]}, which is no part of a catalogue of this program")
