"""Where the lists of towns that the owner added lie: among the files that backups take, by country.

Each is named by its digest, as originals are, so that a backup copies it once and a damaged one shows itself.
"""

import os
import re
from contextlib import suppress
from pathlib import Path

from django.conf import settings

from catalogue.common.kept_files import digest_of, make_folder, sync_folder

TOWN_ROOM = "towns"
IN_USE, LAID_ASIDE = "sqlite3", "aside"
# Below `files`: towns/FR/<SHA-256>.sqlite3
TOWN_FILE = re.compile(rf"{TOWN_ROOM}/([A-Z]{{2}})/[0-9a-f]{{64}}\.({IN_USE}|{LAID_ASIDE})")


def town_room() -> Path:
    """The folder of the lists that were added; it need not be there."""
    return Path(settings.MEDIA_ROOT) / TOWN_ROOM


def paths_of(ending: str) -> list[Path]:
    """The lists that are in use, or that are laid aside, by country."""
    return sorted(town_room().glob(f"[A-Z][A-Z]/*.{ending}"))


def country_of(path: Path) -> str:
    """The two letters of the country that a list is of."""
    return path.parent.name


def move_older_room() -> list[str]:
    """Lists from before they were part of backups are moved to where they are; nothing is said of it."""
    older = Path(settings.DATA_DIR) / TOWN_ROOM
    for ending in (IN_USE, LAID_ASIDE):
        for path in older.glob(f"[A-Z][A-Z].{ending}"):
            there = town_room() / path.stem / f"{digest_of(path)}.{ending}"
            make_folder(there.parent)
            os.replace(path, there)
            sync_folder(there.parent)
    with suppress(OSError):
        older.rmdir()
    return []
