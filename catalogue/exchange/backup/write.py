"""Making one backup: plain or under a password, told to the catalogue when it is whole."""

import threading
from dataclasses import replace
from pathlib import Path

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
    BackupRun.objects.create(
        place=str(target),
        kind=BackupRun.Kind.FILE,
        files=written.files,
        bytes=written.bytes,
        lacks=len(written.contents.missing) + len(written.contents.damaged),
    )
    return written
