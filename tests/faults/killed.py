"""kill -9 while finds, pictures, moves, looks into a bath, imports and backups are written over HTTP.

Everything that was acknowledged is there afterwards, nothing is there by half, `manage.py verify` is clean.
"""

import hashlib
import random
import signal
import threading
import time
import zipfile
from collections import Counter
from dataclasses import dataclass, field
from http.client import HTTPException
from pathlib import Path

from tests.attacks._catalogue import (
    Browser,
    catalogue,
    integrity,
    jpeg,
    lost_pictures,
    original,
    rows,
)
from tests.attacks._report import Report
from tests.faults._filled import filled, verified
from tests.faults._imports import import_one, imported_by_half
from tests.faults._warm import Warm

WRITERS = 3
# A moment comes after so many more acknowledgements at most, and then within half a second.
MOST_BETWEEN = 12
PATIENCE_S = 60
SEED = 7
# A run of two hundred takes an hour: how far it is.
TOLD_EVERY = 20


@dataclass
class Promised:
    """What the catalogue said was kept, by kind, and what was sent."""

    finds: dict[str, str] = field(default_factory=dict)
    pictures: dict[str, str] = field(default_factory=dict)
    moves: set[tuple[str, str]] = field(default_factory=set)
    looks: set[str] = field(default_factory=set)
    imports: set[str] = field(default_factory=set)
    digests: dict[str, str] = field(default_factory=dict)
    broken: Counter[str] = field(default_factory=Counter)

    def count(self) -> int:
        """All of it."""
        kinds = (self.finds, self.pictures, self.moves, self.looks, self.imports)
        return sum(len(kind) for kind in kinds)


class Killed:
    """Three writers, until the server is gone."""

    def __init__(self, folder: Path, backups: Path) -> None:
        self.folder, self.backups = folder, backups
        self.promised = Promised()
        self.stop = threading.Event()
        self.seed = 0
        self.lock = threading.Lock()

    def fresh(self) -> int:
        """A number that none of them had."""
        with self.lock:
            self.seed += 1
            return self.seed

    def write(self, window: Browser, which: int) -> None:
        """One writer: whatever comes next, until it is told to stop."""
        kinds = (self.find, self.picture, self.move, self.look, self.find, self.back_up, self.take_in)
        chance = random.Random(f"{SEED} {which} {self.seed}")
        while not self.stop.is_set():
            try:
                chance.choice(kinds)(window, self.fresh())
            except (OSError, LookupError, ValueError, HTTPException):
                # No answer is no promise.
                time.sleep(0.02)

    def find(self, window: Browser, seed: int) -> None:
        picture, what = jpeg(seed), f"K{seed} bottle"
        self.promised.digests[what] = hashlib.sha256(picture).hexdigest()
        number = window.record(
            what, [("a.jpg", picture)], notes=f"note {seed}", new_place=f"P{seed % 5}",
            **{"readings-0-letters": "T&H", "pick": "unknown"},
        )  # fmt: skip
        if number:
            self.promised.finds[number] = what

    def one_of_ours(self) -> str:
        number = random.choice(sorted(self.promised.finds) or [""])
        if not number:
            raise LookupError("no find yet")
        return number

    def picture(self, window: Browser, seed: int) -> None:
        number, content = self.one_of_ours(), jpeg(seed)
        (row,) = rows(self.folder, "select id from specimens_specimen where number=?", number)
        answer = window.post(
            f"/photos/add/?find={row['id']}", {"pictures-role": "detail"}, [("p.jpg", content)]
        )
        if self.kept(answer.status, "picture"):
            self.promised.pictures[hashlib.sha256(content).hexdigest()] = number

    def move(self, window: Browser, seed: int) -> None:
        number = self.one_of_ours()
        (at,) = rows(self.folder, "select place_id from specimens_specimen where number=?", number)
        places = [row["id"] for row in rows(self.folder, "select id from shelves_place")]
        place = next(each for each in places[seed % len(places) :] + places if each != at["place_id"])
        answer = window.post(f"/finds/{number}/move/", {"place": place, "why": f"why {seed}"})
        # Two writers may send it to one place: then the second has nothing to move.
        moved = self.kept(answer.status, "move") and rows(
            self.folder, "select 1 from specimens_move where why=?", f"why {seed}"
        )
        if moved:
            self.promised.moves.add((number, f"why {seed}"))

    def look(self, window: Browser, seed: int) -> None:
        bath = rows(self.folder, "select id from care_bath limit 1")[0]["id"]
        answer = window.post(f"/workbench/baths/{bath}/look/", {"again": "15", "note": f"look {seed}"})
        if self.kept(answer.status, "look"):
            self.promised.looks.add(f"look {seed}")

    def back_up(self, window: Browser, seed: int) -> None:
        """It runs beside the others; whatever has its name when the server is gone must be whole."""
        answer = window.post("/safekeeping/backup/file/", {"file": str(self.backups / f"b{seed}.zip")})
        self.kept(answer.status, "backup")

    def take_in(self, window: Browser, seed: int) -> None:
        if import_one(window, seed):
            self.promised.imports.add(f"imported {seed}")

    def kept(self, status: int, kind: str) -> bool:
        """Whether an answer is a promise; errors are counted."""
        if status >= 500:
            self.promised.broken[f"{kind} {status}"] += 1
        return status == 302

    def moment(self, warm: Warm, chance: random.Random) -> bool:
        """Open it, let them write, kill it at a random moment; whether it opened, and ran until then."""
        with warm.catalogue() as (running, owner):
            self.stop.clear()
            threads = [
                threading.Thread(target=self.write, args=(owner.window(), which), daemon=True)
                for which in range(WRITERS)
            ]
            for thread in threads:
                thread.start()
            wanted, until = self.promised.count() + chance.randrange(1, MOST_BETWEEN), time.monotonic()
            while self.promised.count() < wanted and time.monotonic() < until + PATIENCE_S:
                time.sleep(0.005)
            time.sleep(chance.uniform(0, 0.5))
            alive = running.process.poll() is None
            running.process.send_signal(signal.SIGKILL)
            self.stop.set()
            for thread in threads:
                thread.join(PATIENCE_S)
        return alive


def fault(room: Path, report: Report, moments: int) -> None:
    """Kill it so many times, and look after each whether all that was promised is there."""
    backups = room / "backups"
    backups.mkdir()
    killed = Killed(filled(room), backups)
    chance, went_on, worst = random.Random(SEED), 0, ""
    warm = Warm(room, killed.folder)
    for moment in range(moments):
        went_on += killed.moment(warm, chance)
        if amiss := [*missing(killed), *by_half(killed), *integrity(killed.folder)]:
            worst = f"moment {moment}: {amiss[:3]}"
            break
        if moment % TOLD_EVERY == TOLD_EVERY - 1:
            print(f"     {moment + 1} moments, {killed.promised.count()} acknowledged", flush=True)
    report.check(not worst, f"{moments} times killed, nothing promised is missing", worst)
    report.check(went_on == moments, "it never ended by itself", f"{went_on} of {moments}")
    promised = killed.promised
    report.check(not promised.broken, "no answer was an error", dict(promised.broken))
    told = {kind: len(getattr(promised, kind)) for kind in ("finds", "pictures", "moves", "looks", "imports")}
    # In a few moments pictures and imports, which take longer, may all be cut off.
    surely = told if moments >= TOLD_EVERY else ("finds", "moves", "looks")
    report.check(min(told[kind] for kind in surely) > 0, "each kind was written", told)
    whole, torn = backups_there(backups)
    report.check(not torn, "whatever has the name of a backup is whole", f"{whole} whole, {torn[:3]}")
    with catalogue(room, killed.folder) as (_, owner):
        closed = [n for n in list(promised.finds)[-40:] if owner.get(f"/finds/{n}/").status != 200]
        report.check(not closed, "the page of each find opens", closed[:3])
    amiss = verified(room, killed.folder)
    report.check(not amiss, "manage.py verify finds nothing amiss", amiss[:3])


def missing(killed: Killed) -> list[str]:
    """What was promised and is not there."""
    promised, folder = killed.promised, killed.folder
    finds = {row["number"]: row for row in rows(folder, "select id, number, what from specimens_specimen")}
    filed = {(r["find_id"], r["sha256"]) for r in rows(folder, "select find_id, sha256 from photos_photo")}
    gone = [f"find {n}" for n, what in list(promised.finds.items()) if finds.get(n, {}).get("what") != what]
    gone += [
        f"picture of {number}"
        for digest, number in list(promised.pictures.items())
        if number not in finds or (finds[number]["id"], digest) not in filed or not there(folder, digest)
    ]
    moves = {
        (r["number"], r["why"])
        for r in rows(
            folder,
            "select number, why from specimens_move m join specimens_specimen s on s.id = m.find_id",
        )
    }
    gone += [f"move {each}" for each in set(promised.moves) - moves]
    looks = {row["note"] for row in rows(folder, "select note from care_bathlook")}
    gone += [f"look {each}" for each in set(promised.looks) - looks]
    imported = {row["what"] for row in rows(folder, "select what from specimens_specimen")}
    return gone + [f"import {each}" for each in promised.imports if each not in imported]


def by_half(killed: Killed) -> list[str]:
    """Finds that are there, whether or not anybody was told, without all that was sent with them."""
    folder, half = killed.folder, []
    filed = {(r["find_id"], r["sha256"]) for r in rows(folder, "select find_id, sha256 from photos_photo")}
    having = {
        part: {row["id"] for row in rows(folder, f"select distinct {column} id from {table}")}
        for part, table, column in (
            ("reading", "specimens_markreading", "find_id"),
            ("place", "specimens_move", "find_id"),
            ("history", "specimens_historicalspecimen", "id"),
        )
    }
    for row in rows(folder, "select id, what from specimens_specimen where what like 'K%'"):
        lacks = [part for part, keys in having.items() if row["id"] not in keys]
        if (row["id"], killed.promised.digests[row["what"]]) not in filed:
            lacks.append("picture")
        if lacks:
            half.append(f"{row['what']} without its {lacks}")
    twice = rows(
        folder, "select what from specimens_specimen where what like 'K%' group by 1 having count(*) > 1"
    )
    half += [f"{row['what']} twice" for row in twice]
    return half + [f"picture {digest[:8]}" for digest in lost_pictures(folder)] + imported_by_half(folder)


def there(folder: Path, digest: str) -> bool:
    """Whether an original lies in its place, bit for bit."""
    path = original(folder, digest)
    return path.exists() and hashlib.sha256(path.read_bytes()).hexdigest() == digest


def backups_there(folder: Path) -> tuple[int, list[str]]:
    """How many backups have their name, and those of them that are not what their manifest says."""
    torn, found = [], sorted(folder.glob("*.zip"))
    for path in found:
        try:
            with zipfile.ZipFile(path) as archive:
                names = {name.split("/", 1)[1]: name for name in archive.namelist()}
                for line in archive.read(names["manifest-sha256.txt"]).decode().splitlines():
                    digest, name = line.split("  ", 1)
                    if hashlib.sha256(archive.read(names[name])).hexdigest() != digest:
                        torn.append(f"{path.name}: {name}")
        except (zipfile.BadZipFile, KeyError, ValueError) as error:
            torn.append(f"{path.name}: {error}")
    return len(found), torn
