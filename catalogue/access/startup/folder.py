"""The data folder: made, tried, with room on its disk, and the place of temporary files."""

import os
import shutil
import stat
import tempfile
from contextlib import suppress
from pathlib import Path
from threading import Event

from catalogue.access.startup import StartRefused

# Our own figures: under the first, a change of the tables could stop half way for want of room; under
# the second, a day's pictures might not fit.
LEAST_ROOM_MB = 20
GOOD_ROOM_MB = 200
INCOMING, PICTURES = "incoming", "files"
# Its id, which the database has too; what the last end in order left, to be compared at the next start.
ID_FILE, LEFT_FILE = "catalogue.id", "catalogue.left"


def make(folder: Path) -> None:
    """Make the folder, closed to other users of the machine, and prove that it can be written.

    A folder that is there already keeps the rights its owner gave it. Raises StartRefused.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder) as trial:
            trial.write(b"can this be written?")
    except (FileExistsError, NotADirectoryError):
        raise StartRefused(
            f"{folder} can't be the catalogue's folder, because there is a file of that name."
        ) from None
    except OSError as error:
        raise StartRefused(f"The folder {folder} can't be written ({reason(error)}).") from None


def of_pictures(folder: Path) -> Path:
    """The folder of pictures in a data folder, made where there is none. Raises StartRefused."""
    place = folder / PICTURES
    try:
        place.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        why = "it leads nowhere" if place.is_symlink() else reason(error)
        raise StartRefused(f"The folder of pictures {place} can't be used ({why}).") from None
    return place


def close_to_others(folder: Path) -> int:
    """Take from other users of the machine what rights they have to files of the folder. How many changed.

    The folder's own rights are as its owner gave them; a file that is somebody else's, or on a disk that
    knows no rights, stays as it is.
    """
    changed = 0
    for place, _, names in os.walk(folder):
        for name in names:
            path = os.path.join(place, name)
            with suppress(OSError):
                mode = stat.S_IMODE(os.lstat(path).st_mode)
                if mode & 0o077 and not os.path.islink(path):
                    os.chmod(path, mode & 0o700)
                    changed += 1
    return changed


def close_data_folder(stop: Event) -> None:
    """The background work that closes the data folder's files to others, once a start."""
    from django.conf import settings

    close_to_others(Path(settings.DATA_DIR))


def free_bytes(folder: Path) -> int:
    """Free room on the folder's disk."""
    return shutil.disk_usage(folder).free


def room_mb(folder: Path) -> int:
    """The same in whole MB."""
    return free_bytes(folder) // 1_000_000


def check_room(folder: Path, *, least_mb: int = LEAST_ROOM_MB) -> str | None:
    """A sentence of warning when room gets short; raises StartRefused when there is less than `least_mb`."""
    free = room_mb(folder)
    if free < least_mb:
        raise StartRefused(
            f"The disk of {folder} has {free} MB left, too little to work safely: make room first."
        )
    if free < GOOD_ROOM_MB:
        return f"The disk of {folder} has only {free} MB left: make room before adding pictures."
    return None


def keep_temporary_files(folder: Path) -> None:
    """Let pictures wait in the folder while they arrive: on its own disk, whose room was checked.

    Sweeps what a crash left there, so only while the folder's lock is held.
    """
    place = folder / INCOMING
    shutil.rmtree(place, ignore_errors=True)
    if place.is_symlink() or place.is_file():
        place.unlink()
    place.mkdir(mode=0o700, exist_ok=True)
    tempfile.tempdir = str(place)


def reason(error: OSError) -> str:
    """The system's own words for the error, in lower case."""
    return (error.strerror or str(error)).lower()
