"""The file lock: one copy of the program at a time on a folder.

The lock belongs to the running program: when that ends, by whatever way, the operating system lets go of it.
"""

import os
from pathlib import Path

from catalogue.access.startup import StartRefused

LOCK_FILE = "open.lock"
# Windows makes a locked byte unreadable to others; this one is beyond what is written.
FAR_BYTE = 1 << 30


def _seize(handle: int) -> None:
    """Take the lock or raise OSError at once."""
    if os.name == "nt":
        import msvcrt

        os.lseek(handle, FAR_BYTE, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]  # Windows only
        os.lseek(handle, 0, os.SEEK_SET)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def take(folder: Path, address: str) -> int:
    """Lock the folder and note where its catalogue can be reached; returns the handle to let go of.

    Raises StartRefused while another copy has it.
    """
    try:
        handle = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise StartRefused(f"The folder {folder} can't be written ({error.strerror}).") from None
    try:
        _seize(handle)
    except OSError:
        where = os.read(handle, 200).decode("ascii", "replace").strip()
        os.close(handle)
        raise StartRefused(
            f"The catalogue in {folder} is open already{f' at {where}' if where else ''}: "
            "use that one, or end it first."
        ) from None
    os.ftruncate(handle, 0)
    os.write(handle, address.encode("ascii"))
    return handle


def let_go(handle: int) -> None:
    """Unlock. The file stays: taking it away could break the lock of a copy that starts just then."""
    os.ftruncate(handle, 0)
    os.close(handle)
