"""Where pictures wait while they arrive: on the catalogue's own disk, whose room was checked."""

import shutil
import tempfile
from pathlib import Path

NAME = "incoming"


def use(folder: Path) -> None:
    """Send temporary files there, and sweep what a crash left. Only while the folder's lock is held."""
    place = folder / NAME
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir(mode=0o700, exist_ok=True)
    tempfile.tempdir = str(place)
