"""The machine's clock jumps while the catalogue is used: back, a month and ten years ahead, right again.

Needs libfaketime: its library's path in SILTMARK_FAKETIME, or where Debian puts it.
"""

import json
import os
import time
from pathlib import Path

from tests.attacks._catalogue import (
    Browser,
    catalogue,
    integrity,
    jpeg,
    lost_pictures,
    originals,
    rows,
)
from tests.attacks._report import Report

DEBIAN = "/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1"
# Days from now. Held pictures live a week, a sign-in a year: beyond it only reading is tried.
JUMPS, FAR = (0, -400, 30, 300, 0), (3650, -9000, 0)


def attack(room: Path, report: Report) -> None:
    """Write at every time; once the clock is right again all that was kept is there, in its order."""
    library = os.environ.get("SILTMARK_FAKETIME", DEBIAN)
    if not Path(library).exists():
        report.left_out("a clock that jumps", "there is no libfaketime (SILTMARK_FAKETIME)")
        return
    folder, hands = room / "catalogue", room / "faketime"
    faked = {
        "LD_PRELOAD": library,
        "FAKETIME_TIMESTAMP_FILE": str(hands),
        "FAKETIME_NO_CACHE": "1",
        "FAKETIME_DONT_FAKE_MONOTONIC": "1",
        "DONT_FAKE_MONOTONIC": "1",
    }
    hands.write_text("+0d\n")
    kept: list[str] = []
    with catalogue(room, folder, **faked) as (running, owner):
        held = _hold(owner)
        first = owner.record("before", [("a.jpg", jpeg(1))], new_place="P0")
        pictures = originals(folder)
        for days in JUMPS:
            _set(hands, days)
            kept += _use(owner, first, days, report)
        number = owner.record("with the picture that waited", held=held)
        report.check(number, "a picture that waited through all of it is taken", held[:6])
        kept.append(number)
        report.check(pictures <= originals(folder), "no picture went")
        _judge(folder, first, kept, report)
        for days in FAR:
            _set(hands, days)
            _read(owner, first, days, report)
        report.check(running.process.poll() is None, "the program goes on")
    with catalogue(room, folder) as (running, owner):
        home = owner.get("/")
        report.check(
            home.status in (200, 302), "opens again with the right clock", running.log.read_text()[:250]
        )
        report.check(owner.get(f"/finds/{first}/").status == 200, "with its first find")
    report.check(not integrity(folder), "the database is whole", integrity(folder))
    log = (folder / "siltmark.log").read_text()
    report.check("Traceback" not in log, "no trace in the log", log.partition("Traceback")[0][-300:])


def _hold(owner: Browser) -> str:
    answer = owner.post("/photos/hold/", {"role": "detail"}, [("h.jpg", jpeg(77))])
    token: str = json.loads(answer.text)["token"] if answer.status == 201 else ""
    return token


def _set(hands: Path, days: int) -> None:
    hands.write_text(f"{days:+d}d\n")
    time.sleep(0.3)


def _read(owner: Browser, first: str, days: int, report: Report) -> None:
    pages = ("/", "/finds/", f"/finds/{first}/", "/dives/", "/workbench/", "/settings/", "/safekeeping/")
    said = {page: owner.get(page).status for page in (*pages, "/date/?letters=TH")}
    report.check(all(status < 500 for status in said.values()), f"{days:+d} days: its pages", said)


def _use(owner: Browser, first: str, days: int, report: Report) -> list[str]:
    """Read and write at that time; the numbers of the finds kept."""
    _read(owner, first, days, report)
    number = owner.record(f"at {days}", [("x.jpg", jpeg(100 + days))], new_place=f"P{days}")
    report.check(number, f"{days:+d} days: a find with a picture", number)
    place = owner.opened(f"/finds/{first}/", "why")
    moved = owner.post(place[0], {**place[1], "place": "", "why": f"at {days}"})
    report.check(moved.status < 500, f"{days:+d} days: a move", moved.status)
    return [number] if number else []


def _judge(folder: Path, first: str, kept: list[str], report: Report) -> None:
    there = {row["number"] for row in rows(folder, "select number from specimens_specimen")}
    report.check(set(kept) <= there, "each find that was kept is there", kept)
    report.check(not lost_pictures(folder), "each picture on record has its file")
    moves = rows(
        folder,
        "select from_place_id f, to_place_id t from specimens_move m join specimens_specimen s"
        " on s.id=m.find_id where s.number=? order by m.id",
        first,
    )
    report.check(
        all(a["t"] == b["f"] for a, b in zip(moves, moves[1:], strict=False)),
        "the chain of moves holds",
        len(moves),
    )
    twice = rows(folder, "select number, count(*) n from specimens_specimen group by number having n > 1")
    report.check(not twice, "no number was given twice", twice)
