"""Fifty writers at once: everybody is answered, nobody sees that the database is locked."""

import threading
import time
from collections import Counter
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue, integrity, jpeg, rows
from tests.attacks._report import Report

WRITERS, TIMES = 50, 3
# Whoever comes last waits for all others, on a machine that may have other work.
PATIENCE_S = 900


def fault(room: Path, report: Report, moments: int) -> None:
    """Each keeps a find with a picture and moves it, three times, all beginning at one moment."""
    folder = room / "catalogue"
    statuses: Counter[int] = Counter()
    said: list[str] = []
    lost: list[str] = []
    finds: dict[str, str] = {}
    with catalogue(room, folder) as (_, owner):
        owner.record("the first", new_place="Place 0")
        gate = threading.Barrier(WRITERS)

        def write(which: int, window: Browser) -> None:
            window.patience_s = PATIENCE_S
            gate.wait()
            for time_ in range(TIMES):
                what = f"w{which}t{time_}"
                try:
                    answer = window.send(
                        "/finds/new/", "what", [("a.jpg", jpeg(which * 100 + time_))], what=what
                    )
                except (OSError, LookupError) as error:
                    lost.append(f"{what}: {error}")
                    continue
                statuses[answer.status] += 1
                if "locked" in answer.text or answer.status >= 500:
                    said.append(answer.text[:200])
                if answer.status == 302:
                    finds[what] = answer.location

        threads = [threading.Thread(target=write, args=(n, owner.window())) for n in range(WRITERS)]
        begun = time.monotonic()
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        took = time.monotonic() - begun
    wanted = WRITERS * TIMES
    report.check(not said, "nobody sees that the database is locked, or any error", said[:2])
    report.check(not lost, "everybody is answered", lost[:3])
    report.check(len(finds) == wanted, f"{wanted} finds kept in {took:.0f} s", dict(statuses))
    there = {row["what"] for row in rows(folder, "select what from specimens_specimen")}
    report.check(set(finds) <= there, "each that was kept is there")
    numbers = rows(folder, "select number from specimens_specimen group by number having count(*) > 1")
    report.check(not numbers, "no number was given twice", numbers[:3])
    report.check(not integrity(folder), "the database is whole", integrity(folder))
    log = (folder / "siltmark.log").read_text()
    report.check("locked" not in log and "Traceback" not in log, "nor does the log say so")
