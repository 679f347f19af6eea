"""A copy of the database is kept before its tables change; without one nothing changes."""

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from catalogue.access.startup import StartRefused, database, migration_backup
from tests.running import PATIENCE_S, ROOT, free_port, refusal, start, surroundings

FIRST = "catalogue-0001-"


@pytest.fixture
def path(tmp_path) -> Path:
    """A small database with what was written last still in its side file, and held open."""
    made = tmp_path / "catalogue.sqlite3"
    with closing(sqlite3.connect(made)) as direct:
        direct.execute("PRAGMA journal_mode=WAL")
        direct.execute("CREATE TABLE bottle (words TEXT)")
        direct.execute("INSERT INTO bottle VALUES ('aqua soda')")
        direct.commit()
        yield made


def words_in(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as direct:
        return [row[0] for row in direct.execute("SELECT words FROM bottle")]


def kept(path: Path) -> list[str]:
    return sorted(each.name for each in (path.parent / migration_backup.FOLDER).iterdir())


def test_the_copy_holds_what_was_written_last_and_is_the_owners_alone(path):
    copy = migration_backup.back_up(path)
    assert copy.name.startswith(FIRST) and kept(path) == [copy.name]
    assert words_in(copy) == ["aqua soda"]
    if os.name == "posix":
        assert copy.stat().st_mode & 0o777 == 0o600
        assert copy.parent.stat().st_mode & 0o777 == 0o700


def test_another_writer_does_not_keep_it_from_being_made(path):
    with closing(sqlite3.connect(path)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("INSERT INTO bottle VALUES ('half way')")
        assert words_in(migration_backup.back_up(path)) == ["aqua soda"]


def test_the_last_three_are_kept_whatever_the_clock_said(path, monkeypatch):
    folder = path.parent / migration_backup.FOLDER
    for day in ("2031-01-01", "2026-05-02", "2026-05-03", "1999-12-31", "2026-05-04"):
        monkeypatch.setattr(
            migration_backup,
            "date",
            SimpleNamespace(today=lambda day=day: SimpleNamespace(isoformat=lambda: day)),
        )
        migration_backup.back_up(path)
    (folder / "mine.sqlite3").write_text("kept")
    migration_backup.back_up(path)
    assert kept(path) == [
        "catalogue-0004-1999-12-31.sqlite3",
        "catalogue-0005-2026-05-04.sqlite3",
        "catalogue-0006-2026-05-04.sqlite3",
        "mine.sqlite3",
    ]


def test_what_a_crash_left_is_swept(path):
    folder = path.parent / migration_backup.FOLDER
    folder.mkdir()
    (folder / "catalogue-0001-2026-05-04.sqlite3.part").write_text("half")
    (folder / "catalogue-0001-2026-05-04.sqlite3.part-journal").write_text("half")
    copy = migration_backup.back_up(path)
    assert kept(path) == [copy.name]


def test_without_room_nothing_is_begun(path, monkeypatch):
    monkeypatch.setattr(migration_backup, "free_bytes", lambda folder: 20_000_000)
    with pytest.raises(StartRefused, match=r"no room for a copy of it first: .* needs 21 MB and has 20 MB"):
        migration_backup.back_up(path)
    assert kept(path) == []


def test_a_copy_that_is_not_whole_is_no_copy_and_earlier_ones_stay(path, monkeypatch):
    earlier = migration_backup.back_up(path)

    def half(database, copy):
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(migration_backup, "copy_database", half)
    with pytest.raises(StartRefused, match=r"could not be kept first .*\(database or disk is full\)"):
        migration_backup.back_up(path)
    assert kept(path) == [earlier.name]


def test_a_damaged_database_gives_no_copy(path):
    with closing(sqlite3.connect(path)) as direct:
        direct.executemany("INSERT INTO bottle VALUES (?)", [("amber " * 300,)] * 300)
        direct.commit()
        direct.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with path.open("r+b") as file:
        file.seek(4096 * 4)
        file.write(b"\xff" * 40_960)
    with pytest.raises(StartRefused, match="could not be kept first"):
        migration_backup.back_up(path)
    assert kept(path) == []


def test_a_file_in_place_of_the_folder_is_said(path):
    (path.parent / migration_backup.FOLDER).write_text("")
    with pytest.raises(StartRefused, match="could not be kept first"):
        migration_backup.back_up(path)


def test_one_in_memory_is_passed_over():
    memory = SimpleNamespace(vendor="sqlite", settings_dict={"NAME": ":memory:"})
    assert migration_backup.secure(memory) is None


@pytest.fixture
def behind(db):
    """A catalogue that lacks the last step of one app; the tables themselves are as they should be."""
    MigrationRecorder.Migration.objects.filter(app="access", name__gte="0003").delete()


@pytest.fixture
def order(monkeypatch):
    """In which order the copy and the migration come; neither is made."""
    happened = []
    monkeypatch.setattr(migration_backup, "secure", lambda store: happened.append("copied"))
    monkeypatch.setattr(
        "django.core.management.commands.migrate.Command.handle",
        lambda self, *args, **options: happened.append("migrated"),
    )
    return happened


def test_the_copy_comes_first(behind, order):
    call_command("migrate", verbosity=0)
    call_command("migrate", "care", "0001", verbosity=0)
    assert order == ["copied", "migrated"] * 2


def test_what_changes_nothing_needs_none(db, order):
    call_command("migrate", verbosity=0)
    MigrationRecorder.Migration.objects.filter(app="access", name__gte="0003").delete()
    call_command("migrate", plan=True, verbosity=0)
    call_command("migrate", check_unapplied=True, verbosity=0)
    assert order == ["migrated"] * 3


def test_without_a_copy_nothing_is_migrated(behind, monkeypatch):
    def refuse(store):
        raise StartRefused("There is no room.")

    monkeypatch.setattr(migration_backup, "secure", refuse)
    with pytest.raises(CommandError, match="There is no room") as error:
        call_command("migrate", verbosity=0)
    assert error.value.returncode == 2
    with pytest.raises(StartRefused, match="^There is no room.$"):
        database.bring_up_to_date()
    assert ("access", "0003_catalogue_id") not in MigrationRecorder(connection).applied_migrations()


def test_an_older_catalogue_opens_and_its_copy_is_as_it_was(tmp_path):
    """The program itself: a folder brought back to an earlier state, started as a person starts it."""
    place = tmp_path / "catalogue"
    copies = place / migration_backup.FOLDER
    start(tmp_path, "--data", str(place)).stop()
    assert not copies.exists()
    back = [sys.executable, str(ROOT / "manage.py"), "migrate", "access", "0001", "-v0"]
    subprocess.run(back, env=surroundings(tmp_path, SILTMARK_DATA=str(place)), check=True, timeout=PATIENCE_S)
    shutil.rmtree(copies)
    copies.write_text("in its place")
    code, output, error = refusal(tmp_path, "--data", str(place), "--port", str(free_port()))
    assert (code, output, error.count("\n")) == (2, f"{database.UPDATING}\n", 1)
    assert "could not be kept first" in error
    copies.unlink()
    start(tmp_path, "--data", str(place)).stop()

    def tables(file: Path) -> set[str]:
        with closing(sqlite3.connect(file)) as direct:
            return {row[0] for row in direct.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}

    (copy,) = copies.iterdir()
    assert "access_wrongpassword" in tables(place / "catalogue.sqlite3") - tables(copy)
