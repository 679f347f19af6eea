"""Two catalogues on one picture folder: told apart at the start; neither loses the other's pictures."""

import contextlib
import shutil
import sqlite3
import subprocess
from pathlib import Path

from tests.attacks._catalogue import catalogue, jpeg, originals
from tests.attacks._report import Report
from tests.running import command, free_port, surroundings


def attack(room: Path, report: Report) -> None:
    """The same folder twice; another folder, and a copy, whose pictures are a link to the first one's."""
    first, other, copy = room / "first", room / "other", room / "copy"
    with catalogue(room, first) as (_, owner):
        number = owner.record("shared", [("a.jpg", jpeg(1)), ("b.jpg", jpeg(2))])
        before = originals(first)
        report.check(number and len(before) == 2, "a find with two pictures", number)
        _refused(room, first, report, "the same folder again")
        other.mkdir()
        (other / "files").symlink_to(first / "files")
        _refused(room, other, report, "a new catalogue on the first one's pictures")
        copy.mkdir()
        for name in ("secret", "catalogue.id"):
            shutil.copy(first / name, copy / name)
        with (
            contextlib.closing(sqlite3.connect(first / "catalogue.sqlite3")) as source,
            contextlib.closing(sqlite3.connect(copy / "catalogue.sqlite3")) as target,
        ):
            source.backup(target)
        (copy / "files").symlink_to(first / "files")
        _refused(room, copy, report, "a copy of its database on the same pictures, both at once")
        report.check(originals(first) == before, "no picture went")
        report.check(owner.get(f"/finds/{number}/").status == 200, "the first goes on")
    with catalogue(room, first) as (_, owner):
        report.check(owner.get(f"/finds/{number}/").status == 200, "and opens again")
    report.check(originals(first) == before, "with all its pictures")


def _refused(room: Path, folder: Path, report: Report, what: str) -> None:
    code, out, said = started_in_vain(room, folder)
    report.check(code == 2 and said.strip().count("\n") == 0, what, f"{code} {(said or out).strip()[:160]}")


def started_in_vain(room: Path, folder: Path) -> tuple[int, str, str]:
    """A start that should end by itself: one that opens is ended and counts as code 0."""
    words = command("--no-browser", "--port", str(free_port()), "--data", str(folder))
    with subprocess.Popen(
        words,
        env=surroundings(room),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        stdin=subprocess.DEVNULL,
    ) as process:
        try:
            out, said = process.communicate(timeout=45)
        except subprocess.TimeoutExpired:
            process.terminate()
            out, said = process.communicate(timeout=30)
    return process.returncode, out, said
