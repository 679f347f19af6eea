"""Making one backup: plain or under a password, told to the catalogue when it is whole."""

import threading
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from catalogue.access.startup.last_backup import note_last_backup
from catalogue.exchange.backup.archive import WrittenBackup, work_room, write_backup
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.locked import lock
from catalogue.exchange.models import BackupRun


def back_up_to(
    target: Path,
    *,
    password: str = "",
    progress: Progress = lambda done, of: None,
    stop: threading.Event | None = None,
) -> WrittenBackup:
    """Write a backup to `target` and note that it was made. Raises BackupError.

    Under a password the zip is first made among the catalogue's own temporary files, so that nothing of it
    was ever open on the other disk.
    """
    if not password:
        written = write_backup(target, progress=progress, stop=stop)
    else:
        with work_room() as beside:
            plain = write_backup(beside / "backup.zip", progress=progress, stop=stop)
            lock(plain.path, target, password)
            written = replace(plain, path=target)
    note_made(written, BackupRun.Kind.FILE)
    return written


def note_made(written: WrittenBackup, kind: BackupRun.Kind) -> int:
    """Tell the catalogue, and the data folder, of a backup that is whole; how many originals it lacks."""
    lacks = len(written.contents.missing) + len(written.contents.damaged)
    place = str(written.path)
    BackupRun.objects.create(place=place, kind=kind, files=written.files, bytes=written.bytes, lacks=lacks)
    # The backup is whole whether or not this can be noted beside it.
    with suppress(OSError):
        note_last_backup(written.path, datetime.fromisoformat(written.contents.made))
    return lacks
