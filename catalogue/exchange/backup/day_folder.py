"""The layout of a folder of backups: days, and the store that they share."""

import re
from pathlib import Path

from catalogue.exchange.backup import bagit
from catalogue.exchange.backup.payload import FILES_PREFIX

BACKUP_ROOM, STORE, DAYS = "siltmark-backups", "store", "days"
DAY_NAME = re.compile(r"(\d{4}-\d\d-\d\d)-\d{6}")


def days_in(place: Path) -> list[Path]:
    """The whole days in a folder of backups, oldest first; none where the disk is not there."""
    try:
        return sorted(
            path for path in (place / BACKUP_ROOM / DAYS).iterdir() if DAY_NAME.fullmatch(path.name)
        )
    except OSError:
        return []


def is_day(folder: Path) -> bool:
    """Whether a folder is one of the days that share a store."""
    return folder.parent.name == DAYS and (folder.parent.parent / STORE).is_dir()


def listed(day: Path) -> dict[str, str]:
    """Digests by path of a day's manifest. Raises BagError, OSError."""
    return bagit.read_manifest((day / bagit.MANIFEST_FILE).read_bytes(), bagit.MANIFEST_FILE)


def stored_below(day: Path, path: str) -> Path:
    """Where a file that a day's manifest lists lies: in the day itself, else in the store beside the days."""
    own = day / path
    return own if own.exists() else day.parent.parent / STORE / path.removeprefix(FILES_PREFIX)
