"""The database copied while it is written to, with and without its side files; each copy is then opened."""

import shutil
import time
from pathlib import Path

from tests.attacks._catalogue import catalogue, integrity, lost_pictures, originals, owner_of, rows
from tests.attacks._report import Report
from tests.attacks._writers import Writers
from tests.attacks.two_programs_one_folder import started_in_vain
from tests.running import start

COPIES = 6
SIDES = ("", "-wal", "-shm")


def attack(room: Path, report: Report) -> None:
    """Copies as a person makes them: one file after another, in any order, the pictures afterwards."""
    folder = room / "catalogue"
    with catalogue(room, folder) as (_, owner):
        owner.record("the first")
        writers = Writers(owner).begin()
        for turn in range(COPIES):
            time.sleep(1.5)
            _copy(folder, room / f"copy {turn}", turn)
        writers.end()
        writers.judge(folder, report)
    report.check(not integrity(folder), "the one that was copied is whole", len(writers.finds))
    for turn in range(COPIES):
        _open(room, room / f"copy {turn}", turn, report)


def _copy(folder: Path, copy: Path, turn: int) -> None:
    copy.mkdir()
    sides = (SIDES[:1], SIDES, ("", "-wal"), ("-wal", ""), SIDES[::-1], SIDES[:1])[turn % 6]
    for side in sides:
        source = folder / f"catalogue.sqlite3{side}"
        if source.exists():
            shutil.copy(source, copy / source.name)
    for name in ("secret", "catalogue.id"):
        shutil.copy(folder / name, copy / name)

    def still_there(source: str, target: str) -> str:
        return shutil.copy2(source, target) if Path(source).exists() else target

    shutil.copytree(folder / "files", copy / "files", copy_function=still_there)


def _open(room: Path, copy: Path, turn: int, report: Report) -> None:
    before = originals(copy)
    name = f"copy {turn}"
    try:
        running = start(room, "--data", str(copy))
    except AssertionError:
        code, _, said = started_in_vain(room, copy)
        report.check(
            code == 2 and said.count("\n") == 1, f"{name} is refused in a sentence", said.strip()[:200]
        )
    else:
        try:
            owner = owner_of(running)
            statuses = {
                page: owner.get(page).status
                for page in ("/", "/finds/", "/dives/", "/shelves/", "/safekeeping/")
            }
            report.check(set(statuses.values()) <= {200, 302}, f"{name} opens with its pages", statuses)
            numbers = [row["number"] for row in rows(copy, "select number from specimens_specimen")]
            closed = [number for number in numbers if owner.get(f"/finds/{number}/").status != 200]
            report.check(not closed, f"{name}: each find's page opens", f"{len(numbers)} finds, {closed[:3]}")
            report.check(owner.record("written in the copy"), f"{name} takes a find")
            report.check(not lost_pictures(copy), f"{name}: each picture on record has its file")
        finally:
            running.stop()
        report.check(not integrity(copy), f"{name} is whole", integrity(copy)[:3])
    report.check(before <= originals(copy), f"{name}: no picture went", len(before))
