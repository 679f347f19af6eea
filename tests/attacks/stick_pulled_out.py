"""The folder's disk (a stick) vanishes while pictures are written, and comes back."""

import time
from pathlib import Path

from tests.attacks._catalogue import catalogue, integrity, lost_pictures, owner_of, rows
from tests.attacks._report import Report
from tests.attacks._writers import Writers

AWAY_S = 4.0


def attack(room: Path, report: Report) -> None:
    """Pull it out twice: the place of the folder is gone, then there but empty."""
    for name, leaves_mount_point in (("no folder", False), ("an empty mount point", True)):
        stick = room / f"stick {leaves_mount_point}"
        stick.mkdir()
        _pull(room, stick, leaves_mount_point, report, name)


def _pull(room: Path, stick: Path, leaves_mount_point: bool, report: Report, name: str) -> None:
    print(f"== {name}", flush=True)
    folder, away, shadow = stick / "data", room / f"{stick.name} away", room / f"{stick.name} shadow"
    with catalogue(room, folder) as (running, owner):
        writers = Writers(owner, first=10 * leaves_mount_point).begin()
        time.sleep(4)
        stick.rename(away)
        if leaves_mount_point:
            stick.mkdir()
        began = len(writers.finds)
        time.sleep(AWAY_S)
        meanwhile = len(writers.finds) - began
        # What was written where the stick had been is hidden by it once it is back.
        if stick.exists():
            stick.rename(shadow)
        away.rename(stick)
        time.sleep(4)
        writers.end()
        kept = len(writers.finds)
        report.check(
            running.process.poll() is None, "the program goes on", f"{kept} finds, {meanwhile} while away"
        )
        hidden = (
            [str(path.relative_to(shadow)) for path in shadow.rglob("*") if path.is_file()]
            if shadow.exists()
            else []
        )
        report.check(not hidden, "nothing was written where the stick had been", hidden[:4])
        window = owner.window()
        number = window.record("after it came back")
        report.check(number, "and keeps what is written afterwards", number)
        report.check(window.get("/finds/").status == 200, "its list opens")
        writers.judge(folder, report)
        report.check(
            not lost_pictures(folder), "each picture on record has its file", lost_pictures(folder)[:2]
        )
    report.check(not integrity(folder), "the database is whole", integrity(folder))
    with catalogue(room, folder) as (running, owner):
        report.check(owner_of(running).get("/").status in (200, 302), "and opens again")
        report.check(
            rows(folder, "select 1 from specimens_specimen where number=?", number), "with the last find"
        )
