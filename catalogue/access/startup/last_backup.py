"""Where the last good backup lies, noted in the data folder: asked where the database itself can't be."""

import json
import os
import shlex
from datetime import datetime
from pathlib import Path

from django.conf import settings

from catalogue.access.startup import migration_backup
from catalogue.access.startup.options import program_name
from catalogue.common.kept_files import new_file

NOTE_FILE = "last-backup.json"


def note_last_backup(backup: Path, made: datetime) -> None:
    """Write down where a backup that was read back whole lies. Raises OSError."""
    place = Path(settings.DATA_DIR) / NOTE_FILE
    part = place.with_name(f"{NOTE_FILE}.new")
    part.unlink(missing_ok=True)
    with new_file(part) as file:
        file.write(json.dumps({"path": str(backup), "made": f"{made:%Y-%m-%d}"}).encode())
        file.flush()
        os.fsync(file.fileno())
    os.replace(part, place)


def last_backup_offered(data_folder: Path) -> str:
    """What can be restored in place of a damaged database, as sentences; what is damaged stays beside it."""
    path, made = _noted(data_folder)
    if path is None:
        copies = migration_backup.copies(data_folder / migration_backup.FOLDER)
        if not copies:
            return "No backup of it is known here: if you have one, restore it with manage.py restore FILE."
        how = _restored_by(copies[-1], data_folder)
        return f"No backup was made; a copy from before an update is there: {how}"
    if not path.exists():
        return (
            f"The last good backup, of {made}, is {path}, which is not there just now: plug its disk in, "
            f"then {_restored_by(path, data_folder)}"
        )
    return f"The last good backup is of {made}: {_restored_by(path, data_folder)}"


def _restored_by(path: Path, data_folder: Path) -> str:
    words = shlex.join(["restore", str(path), "--data", str(data_folder)])
    return f"{program_name()} {words} checks it and puts it in the place of what is damaged, which is kept."


def _noted(data_folder: Path) -> tuple[Path | None, str]:
    try:
        found = json.loads((data_folder / NOTE_FILE).read_text(encoding="utf-8"))
        return Path(str(found["path"])), str(found["made"])
    except (OSError, ValueError, KeyError, TypeError):
        return None, ""
