"""The folder that holds the catalogue: made, tried, and with room on its disk."""

import shutil
import tempfile
from pathlib import Path

from catalogue.access.startup.refusal import Refused

# Our own figures: under the first, a change of the tables could stop half way for want of room; under
# the second, a day's pictures might not fit.
LEAST_ROOM_MB = 20
GOOD_ROOM_MB = 200


def make(folder: Path) -> None:
    """Make the folder, closed to other users of the machine, and prove that it can be written.

    A folder that is there already keeps the rights its owner gave it. Raises Refused.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder) as trial:
            trial.write(b"can this be written?")
    except (FileExistsError, NotADirectoryError):
        raise Refused(
            f"{folder} can't be the catalogue's folder, because there is a file of that name."
        ) from None
    except OSError as error:
        raise Refused(f"The folder {folder} can't be written ({reason(error)}).") from None


def room_mb(folder: Path) -> int:
    """Free room on the folder's disk, in whole MB."""
    return shutil.disk_usage(folder).free // 1_000_000


def check_room(folder: Path) -> str | None:
    """A sentence of warning when room gets short; raises Refused when there is next to none."""
    free = room_mb(folder)
    if free < LEAST_ROOM_MB:
        raise Refused(f"The disk of {folder} has {free} MB left, too little to work safely: make room first.")
    if free < GOOD_ROOM_MB:
        return f"The disk of {folder} has only {free} MB left: make room before adding pictures."
    return None


def reason(error: OSError) -> str:
    """The system's own words for the error, in lower case."""
    return (error.strerror or str(error)).lower()
