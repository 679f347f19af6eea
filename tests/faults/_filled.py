"""A folder to begin with: places, two finds, and a bath whose clock runs."""

import os
import subprocess
import sys
from pathlib import Path

from tests.running import PATIENCE_S, ROOT, surroundings


def filled(room: Path, name: str = "catalogue") -> Path:
    """Make the folder, in a process of its own."""
    folder = room / name
    folder.mkdir()
    manage(room, folder, "-m", "tests.faults._filled")
    return folder


def manage(room: Path, folder: Path, *words: str) -> str:
    """A command of Python's on the folder; what it printed. Raises CalledProcessError."""
    done = subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env=surroundings(room, SILTMARK_DATA=str(folder)),
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=True,
    )
    return done.stdout


def verified(room: Path, folder: Path) -> list[str]:
    """What `manage.py verify` finds amiss in a folder, but for backups, which nobody makes here.

    Nor smaller pictures: an open catalogue makes them beside its pages, and may have been ended before.
    """
    done = subprocess.run(
        [sys.executable, "manage.py", "verify"],
        cwd=ROOT,
        env=surroundings(room, SILTMARK_DATA=str(folder)),
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        stdin=subprocess.DEVNULL,
    )
    lines = done.stdout.splitlines()
    if "Backups: " not in done.stdout:
        return [f"verify ended early: {done.stderr[-300:]}"]
    passed_over = ("AMISS Backups", "AMISS Smaller pictures")
    return [line for line in lines if line.startswith("AMISS ") and not line.startswith(passed_over)]


def _fill() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    from catalogue.access.startup import identity
    from catalogue.care.services import start_load
    from tests import factories as make
    from tests.care.makers import bath, crusted

    call_command("migrate", verbosity=0)
    identity.settle(Path(settings.DATA_DIR))
    for number in range(3):
        make.place(f"Shelf {number}")
    start_load(bath(crusted("Crusted soda bottle"), crusted("Second crusted bottle")))


if __name__ == "__main__":
    _fill()
