"""A damaged, newer or unreachable database is refused; an old one is brought up to date."""

import os
import sqlite3
from contextlib import closing
from types import SimpleNamespace

import pytest
from django.db import DatabaseError
from django.db.migrations.recorder import MigrationRecorder

from catalogue.access.startup import StartRefused, database


@pytest.fixture
def path(tmp_path):
    """A small database of several pages."""
    made = tmp_path / "catalogue.sqlite3"
    with closing(sqlite3.connect(made)) as direct:
        direct.execute("CREATE TABLE bottle (words TEXT)")
        direct.executemany("INSERT INTO bottle VALUES (?)", [("aqua soda " * 40,)] * 200)
        direct.execute("CREATE INDEX by_words ON bottle (words)")
        direct.commit()
    return made


def test_a_whole_one_passes(path):
    database.check_whole(path)


def test_one_that_is_not_there_yet_passes(tmp_path):
    database.check_whole(tmp_path / "catalogue.sqlite3")
    assert not (tmp_path / "catalogue.sqlite3").exists()


@pytest.mark.parametrize("at", [0, 100, 4096 * 3, 4096 * 20])
def test_a_damaged_one_is_said_and_left_alone(path, at):
    with path.open("r+b") as file:
        file.seek(at)
        file.write(b"\xff" * 4096)
    before = path.read_bytes()
    with pytest.raises(StartRefused, match="is damaged"):
        database.check_whole(path)
    assert path.read_bytes() == before


def test_one_copied_while_it_was_written_to_is_found_out(path, monkeypatch):
    """Its rows are of one moment and its index of another: a quick look finds each of them in order."""
    monkeypatch.setattr(database, "file", lambda: path)
    database.gather()
    before = path.read_bytes()
    with closing(sqlite3.connect(path)) as direct:
        (size,) = direct.execute("PRAGMA page_size").fetchone()
        direct.execute("UPDATE bottle SET words = replace(words, 'aqua', 'blue') WHERE rowid = 1")
        direct.commit()
    after = path.read_bytes()
    assert len(after) == len(before)
    leaves = [
        n
        for n in range(len(after) // size)
        if after[n * size : (n + 1) * size] != before[n * size : (n + 1) * size]
    ]
    rows_only = bytearray(before)
    for n in leaves:
        if after[n * size] == 13:  # a leaf of a table, not of an index (file format, b-tree pages)
            rows_only[n * size : (n + 1) * size] = after[n * size : (n + 1) * size]
    path.write_bytes(rows_only)
    with closing(sqlite3.connect(path)) as direct:
        assert direct.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)
    with pytest.raises(StartRefused, match="is damaged .*as a copy that was made while it was open can be"):
        database.check_whole(path)


def test_only_one_that_is_as_the_last_end_left_it_is_read_quickly(path, monkeypatch):
    monkeypatch.setattr(database, "file", lambda: path)
    assert not database.is_as_left(path)
    database.gather()
    assert database.is_as_left(path)
    database.check_whole(path)
    assert database.is_as_left(path)
    side = path.with_name(f"{path.name}-wal")
    side.write_bytes(b"left by a crash")
    assert not database.is_as_left(path)
    side.unlink()
    os.utime(path, (1, 1))
    assert not database.is_as_left(path)


def test_something_else_in_its_place_is_said(tmp_path):
    (tmp_path / "catalogue.sqlite3").write_text("a shopping list " * 90)
    with pytest.raises(StartRefused, match="is damaged"):
        database.check_whole(tmp_path / "catalogue.sqlite3")
    with pytest.raises(StartRefused, match="can't be used"):
        database.check_whole(tmp_path)


def test_one_that_can_not_be_written_is_said(path, monkeypatch):
    monkeypatch.setattr(database.os, "access", lambda path, mode: False)
    with pytest.raises(StartRefused, match="can't be read and written by this user"):
        database.check_whole(path)


@pytest.mark.django_db
def test_one_that_a_newer_program_opened_is_said():
    MigrationRecorder.Migration.objects.create(app="specimens", name="0999_from_the_future")
    with pytest.raises(StartRefused, match="newer version of the program .*0999_from_the_future"):
        database.bring_up_to_date()


@pytest.mark.django_db
def test_one_that_is_up_to_date_is_left_alone_without_a_word(monkeypatch, capsys):
    monkeypatch.setattr(database, "call_command", lambda *args, **kwargs: pytest.fail("migrated"))
    database.bring_up_to_date()
    assert capsys.readouterr().out == ""


@pytest.mark.django_db
def test_one_that_lacks_something_is_brought_up_to_date_and_that_is_said_before(monkeypatch, capsys):
    called, said = [], []

    def migrate(*args, **kwargs):
        called.append(args)
        said.append(capsys.readouterr().out)

    monkeypatch.setattr(database, "call_command", migrate)
    MigrationRecorder.Migration.objects.filter(app="access").order_by("name").last().delete()
    database.bring_up_to_date()
    assert called == [("migrate",)]
    assert "brought up to date now, after a copy of it is kept" in said[0]


@pytest.mark.django_db
def test_a_new_catalogue_is_said_to_be_one(monkeypatch, capsys):
    monkeypatch.setattr(database, "call_command", lambda *args, **kwargs: None)
    MigrationRecorder.Migration.objects.all().delete()
    database.bring_up_to_date()
    assert capsys.readouterr().out == "A new catalogue is laid out.\n"


def test_a_server_that_does_not_answer_is_said(monkeypatch):
    def fails(connection):
        raise DatabaseError("connection refused\n  is it running?")

    monkeypatch.setattr(database, "MigrationExecutor", fails)
    with pytest.raises(StartRefused, match=r"can't be used \(connection refused is it running\?\)"):
        database.bring_up_to_date()


def test_at_the_end_everything_is_in_the_one_file(path, monkeypatch):
    monkeypatch.setattr(database, "file", lambda: path)
    with closing(sqlite3.connect(path)) as direct:
        direct.execute("PRAGMA journal_mode=WAL")
        direct.execute("INSERT INTO bottle VALUES ('the last one')")
        direct.commit()
        side = path.with_name(path.name + "-wal")
        assert side.stat().st_size > 0
        database.gather()
        assert side.stat().st_size == 0


def test_gathering_passes_over_a_server_and_a_missing_file(monkeypatch, tmp_path):
    for nothing in (None, tmp_path / "none"):
        monkeypatch.setattr(database, "file", lambda found=nothing: found)
        database.gather()
    assert not (tmp_path / "none").exists()


def test_the_file_is_named_for_sqlite_alone(monkeypatch, tmp_path):
    chosen = {"ENGINE": "django.db.backends.sqlite3", "NAME": tmp_path / "x"}
    monkeypatch.setattr(database, "settings", SimpleNamespace(DATABASES={"default": chosen}))
    assert database.file() == tmp_path / "x"
    chosen["ENGINE"] = "django.db.backends.postgresql"
    assert database.file() is None
