"""A catalogue moves from SQLite to PostgreSQL and back by backup and restore, every row as it was."""

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from catalogue.access.startup import migration_backup, restore_swap
from tests.running import PATIENCE_S, ROOT, start
from tests.server_of_ones_own import server_url

Rows = dict[str, list[list[str]]]
STEP = ("-m", "tests.exchange.crossing")


@dataclass(frozen=True)
class Home:
    """A data folder with the database that it is opened with; no address is SQLite in the folder."""

    folder: Path
    url: str = ""

    @property
    def surroundings(self) -> dict[str, str]:
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("SILTMARK", "DATABASE_URL", "COV_"))}
        return kept | {"SILTMARK_DATA": str(self.folder), **({"DATABASE_URL": self.url} if self.url else {})}

    def run(self, *words: str) -> str:
        """A command of Python's in this home; what it printed. Fails where the command does."""
        done = subprocess.run(
            [sys.executable, *words],
            cwd=ROOT,
            env=self.surroundings,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
        )
        assert done.returncode == 0, (words, done.stdout[-500:], done.stderr[-2000:])
        return done.stdout

    def manage(self, *words: str) -> str:
        return self.run("manage.py", *words)

    def rows(self) -> Rows:
        found: Rows = json.loads(self.run(*STEP, "rows"))
        return found


def differing(one: Rows, other: Rows) -> dict[str, object]:
    """By table the first values that differ, or how many rows each has."""
    found: dict[str, object] = {}
    for table in one.keys() | other.keys():
        here, there = one.get(table, []), other.get(table, [])
        if here != there:
            pairs = zip(here, there, strict=False)
            values = [pair for rows in pairs for pair in zip(*rows, strict=True) if pair[0] != pair[1]]
            found[table] = values[:3] or (len(here), len(there))
    return found


@pytest.fixture(scope="module")
def server():
    with server_url() as url:
        yield url


@pytest.fixture(scope="module")
def laptop(server, tmp_path_factory) -> Home:
    """The invented catalogue on SQLite, with a backup of it beside the folder."""
    home = Home(tmp_path_factory.mktemp("laptop") / "data")
    home.folder.mkdir()
    home.run(*STEP, "fill")
    # Asked before: a backup that was made is written down when it is whole, so it is not in itself.
    (home.folder.parent / "rows.json").write_text(json.dumps(home.rows()))
    home.manage("backup", str(home.folder.parent / "from-sqlite.zip"))
    return home


def test_there_and_back_every_row_is_as_it_was(laptop, server, tmp_path):
    before = rows_in(laptop)
    assert sum(map(len, before.values())) > 3000

    there = Home(tmp_path / "there", server)
    there.manage("restore", str(laptop.folder.parent / "from-sqlite.zip"), "--yes")
    assert not differing(before, there.rows())
    assert json.loads(there.run(*STEP, "series")) == []

    there.manage("backup", str(tmp_path / "from-server.zip"))
    back = Home(tmp_path / "back")
    back.manage("restore", str(tmp_path / "from-server.zip"), "--yes")
    assert not differing(before, back.rows())
    assert originals(back) == originals(there) == originals(laptop) != set()

    # The next rows get keys that no row has.
    for home in (there, back):
        assert "kept" in home.run(*STEP, "insert")


def test_before_an_update_a_server_is_copied_and_the_copy_can_be_restored(laptop, server, tmp_path):
    home = Home(tmp_path / "home", server)
    home.manage("restore", str(laptop.folder.parent / "from-sqlite.zip"), "--yes")
    before = rows_in(laptop)
    copies = home.folder / migration_backup.FOLDER
    home.manage("migrate", "exchange", "zero", "-v", "0")
    home.manage("migrate", "-v", "0")
    # The second is made of tables that are older than the program's.
    first, second = migration_backup.copies(copies)
    home.run(*STEP, "insert")
    home.manage("restore", str(second), "--yes")
    after = home.rows()
    held = {table for table in before if not table.startswith("exchange_")}
    assert not differing({t: before[t] for t in held}, {t: after[t] for t in held})
    assert tables_in(first) - tables_in(second) == {t for t in before if t.startswith("exchange_")}


def test_what_waits_is_put_into_the_server_at_the_next_start(laptop, server, tmp_path):
    home = Home(tmp_path / "home", server)
    home.folder.mkdir()
    # What was there before: another worker's server, beside which this test runs, has nothing yet.
    home.manage("migrate", "--verbosity", "0")
    # As after "Restore" in the browser, and as after a crash between the two halves of the swap.
    home.run(*STEP, "unpack", str(laptop.folder.parent / "from-sqlite.zip"))
    assert restore_swap.is_ready(home.folder)
    running = start(tmp_path, "--data", str(home.folder), DATABASE_URL=server)
    try:
        assert "what was there before lies in" in running.log.read_text()
    finally:
        running.stop()
    assert not restore_swap.is_ready(home.folder)
    (kept,) = home.folder.glob("before-restore-*")
    assert "specimens_specimen" in tables_in(kept / "catalogue.sqlite3")
    # A start adds what opens the door, and nothing else.
    after, before = home.rows(), rows_in(laptop)
    for table in ("specimens_specimen", "specimens_historicalspecimen", "care_bath", "photos_photo"):
        assert after[table] == before[table] != []
    assert originals(home) == originals(laptop)


def tables_in(file: Path) -> set[str]:
    with closing(sqlite3.connect(file)) as direct:
        return {name for (name,) in direct.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


def rows_in(laptop: Home) -> Rows:
    """The rows that its backup holds."""
    found: Rows = json.loads((laptop.folder.parent / "rows.json").read_text())
    return found


def originals(home: Home) -> set[str]:
    return {path.name for path in (home.folder / "files" / "originals").rglob("*") if path.is_file()}
