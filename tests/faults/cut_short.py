"""A power cut, as kill -9 does it, in the middle of an update of the tables and of a restore."""

import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.attacks._catalogue import catalogue, integrity, jpeg, lost_pictures, rows
from tests.attacks._report import Report
from tests.faults._filled import filled, manage, verified
from tests.running import PATIENCE_S, ROOT, command, free_port, surroundings

# By what an update and a restore show that they are at it, and how long after that they are killed at most.
COPY, UNPACKING, SWAPPING = "before-update/*", "restored", "restored.ready"
LATEST_S = 0.4


def fault(room: Path, report: Report, moments: int) -> None:
    """A tenth as many power cuts in each as there are moments, five at least."""
    cuts = max(5, moments // 10)
    base = filled(room)
    with catalogue(room, base) as (_, owner):
        number = owner.record("The one that must stay", [("a.jpg", jpeg(1))])
    _in_an_update(room, base, cuts, report)
    _in_a_restore(room, base, number, cuts, report)


def _in_an_update(room: Path, base: Path, cuts: int, report: Report) -> None:
    older = room / "older"
    shutil.copytree(base, older)
    manage(room, older, "manage.py", "migrate", "exchange", "zero", "-v", "0")
    shutil.rmtree(older / "before-update")
    before = len(rows(older, "select 1 from specimens_historicalspecimen"))
    for cut, wait in enumerate(_waits(cuts)):
        folder = room / f"update {cut}"
        shutil.copytree(older, folder)
        words = command("--no-browser", "--port", str(free_port()), "--data", str(folder))
        _killed(room, folder, COPY, wait, *words)
        with catalogue(room, folder) as (_, owner):
            opens = owner.get("/finds/").status
        kept = len(rows(folder, "select 1 from specimens_historicalspecimen"))
        held = (opens, kept) == (200, before) and not integrity(folder)
        report.check(
            held, f"killed {wait:.2f} s into an update, the next start opens it whole", (opens, kept)
        )
        shutil.rmtree(folder)


def _in_a_restore(room: Path, base: Path, number: str, cuts: int, report: Report) -> None:
    manage(room, base, "manage.py", "backup", str(room / "b.zip"))
    here = room / "here"
    shutil.copytree(base, here)
    with catalogue(room, here) as (_, owner):
        later = owner.record("Recorded after the backup", [("b.jpg", jpeg(2))])
    for cut, wait in enumerate(_waits(cuts)):
        folder = room / f"restore {cut}"
        shutil.copytree(here, folder)
        words = (sys.executable, "manage.py", "restore", str(room / "b.zip"), "--yes")
        sign = SWAPPING if cut % 2 else UNPACKING
        _killed(room, folder, sign, wait / 4 if cut % 2 else wait, *words)
        with catalogue(room, folder) as (_, owner):
            opens = owner.get("/finds/").status
        found = {row["number"] for row in rows(folder, "select number from specimens_specimen")}
        whole = not integrity(folder) and not lost_pictures(folder)
        # The one before or the one restored, never something between.
        one = number in found and (later in found) != bool(list(folder.glob("before-restore-*")))
        report.check(
            opens == 200 and whole and one,
            f"killed {wait:.2f} s after {sign} of a restore, the next start opens one of the two, whole",
            (opens, later in found, whole),
        )
        if cut == 0:
            amiss = verified(room, folder)
            report.check(not amiss, "and manage.py verify finds nothing amiss", amiss[:3])
        shutil.rmtree(folder)


def _waits(count: int) -> list[float]:
    chance = random.Random(count)
    return [chance.uniform(0, LATEST_S) for _ in range(count)]


def _killed(room: Path, folder: Path, sign: str, wait: float, *words: str) -> None:
    """Run the command, and kill it so long after the sign that it is at it has appeared in the folder."""
    process = subprocess.Popen(
        words,
        cwd=ROOT,
        env=surroundings(room, SILTMARK_DATA=str(folder)),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until = time.monotonic() + PATIENCE_S
    while not list(folder.glob(sign)) and process.poll() is None and time.monotonic() < until:
        time.sleep(0.002)
    time.sleep(wait)
    process.send_signal(signal.SIGKILL)
    process.wait()
