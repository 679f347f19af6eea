"""A disk that fills while it is written to, and a folder that can only be read from one moment on.

Needs the right to mount (root on Linux); elsewhere it says that it was not tried.
"""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue, errors_said, integrity, jpeg, lost_pictures, rows
from tests.attacks._report import Report
from tests.faults._filled import verified

DISK_MB = 64
PAGES = ("/", "/finds/", "/finds/new/", "/dives/", "/workbench/", "/safekeeping/", "/settings/")


def fault(room: Path, report: Report, moments: int) -> None:
    """Fill a small disk under an open catalogue, then make one that can only be read."""
    disk = room / "disk"
    disk.mkdir()
    try:
        with _mounted(disk, "-t", "tmpfs", "-o", f"size={DISK_MB}m", "none"):
            _full(room, disk, report)
            _read_only(room, disk / "data", report)
    except (OSError, subprocess.CalledProcessError) as error:
        report.left_out("a full and a read-only disk", f"no disk can be mounted here ({error})")


@contextmanager
def _mounted(place: Path, *words: str) -> Iterator[None]:
    subprocess.run(["mount", *words, str(place)], check=True, capture_output=True)
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True, capture_output=True)


def _full(room: Path, disk: Path, report: Report) -> None:
    folder, ballast = disk / "data", disk / "ballast"
    with catalogue(room, folder) as (running, owner):
        first = owner.record("before the disk was full", [("a.jpg", jpeg(1))])
        with ballast.open("wb") as file:
            try:
                while True:
                    os.write(file.fileno(), b"\0" * 4096)
            except OSError:
                pass
        _refused_in_words(owner, report, "on a full disk", "full")
        ballast.unlink()
        later = owner.record("when there is room again", [("b.jpg", jpeg(3))])
        report.check(first and later, "once there is room it is kept", (first, later))
        report.check(running.process.poll() is None, "the program goes on")
        _nothing_half(folder, {first, later}, report)
    amiss = [line for line in verified(room, folder) if "Room" not in line]
    report.check(not amiss, "manage.py verify finds nothing amiss", amiss[:3])


def _read_only(room: Path, folder: Path, report: Report) -> None:
    with catalogue(room, folder) as (running, owner):
        with _mounted(folder, "--bind", str(folder)):
            subprocess.run(["mount", "-o", "remount,bind,ro", str(folder)], check=True, capture_output=True)
            _refused_in_words(owner, report, "in a folder gone read-only", "only be read")
        last = owner.record("when it can be written again", [("d.jpg", jpeg(4))])
        report.check(last, "once it can be written it is kept", last)
        _nothing_half(folder, {last}, report)
        errors = [line for line in errors_said(running, folder) if "Insufficient Storage" not in line]
        report.check(not errors, "no error in the log", errors[:3])


def _refused_in_words(owner: Browser, report: Report, where: str, words: str) -> None:
    """Finds with large notes and with a picture: answered 507 in words, and pages still open."""
    statuses, told, kept = [], 0, 0
    for seed in range(6):
        picture = [("c.jpg", jpeg(100 + seed, size=(2400, 1800)))] if seed % 2 else []
        answer = owner.window().send("/finds/new/", "what", picture, what=f"F{seed}", notes="silt " * 1800)
        statuses.append(answer.status)
        told += words in answer.text
        kept += answer.status == 302
    report.check(
        told == len(statuses) - kept,
        f"{where}: what is not kept is said in words",
        f"{statuses}, told {told}",
    )
    pages = {page: owner.get(page).status for page in PAGES}
    report.check(set(pages.values()) <= {200, 302, 507}, f"{where}: its pages open, or say why not", pages)


def _nothing_half(folder: Path, kept: set[str], report: Report) -> None:
    there = {row["number"] for row in rows(folder, "select number from specimens_specimen")}
    report.check(kept <= there, "each find that was kept is there", sorted(there))
    report.check(not lost_pictures(folder), "each picture on record has its file")
    report.check(not integrity(folder), "the database is whole", integrity(folder)[:2])
