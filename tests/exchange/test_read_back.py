"""One wrong byte is found wherever it comes in: on the way, on the disk, in what a zip says of itself.

Each test spoils one step alone; the same run without it is whole (the tests beside this one).
"""

import os
from pathlib import Path

import pytest

from catalogue.access.startup import restore_swap
from catalogue.exchange.backup import beside, copying
from catalogue.exchange.backup.archive import write_backup
from catalogue.exchange.backup.beside import read_back
from catalogue.exchange.backup.copying import BackupError
from catalogue.exchange.backup.day_folder import BACKUP_ROOM, days_in
from catalogue.exchange.backup.days import back_up_day
from catalogue.exchange.backup.payload import files_to_keep
from catalogue.exchange.backup.restore import RestoreError, unpack
from catalogue.exchange.backup.stored_zip import StoredZip
from tests.exchange.conftest import fill

# The pictures of these tests are far below, their database far above it.
LONGEST_PICTURE = 200_000

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def stick(data_folder, tmp_path_factory) -> Path:
    """A disk beside a small catalogue."""
    fill()
    return tmp_path_factory.mktemp("stick")


@pytest.fixture
def home(tmp_path) -> Path:
    """A data folder that nothing was restored into yet."""
    folder = tmp_path / "home"
    folder.mkdir()
    return folder


@pytest.fixture
def spoilt_on_the_way(monkeypatch):
    """Memory that turns one bit of each picture while it is copied."""
    honest = copying.Copier.copy

    def copy(self, source, out, **stretch):
        class Spoiling:
            def write(self, block):
                return out.write(bytes([block[0] ^ 1]) + bytes(block[1:]))

        return honest(self, source, Spoiling(), **stretch)

    def begin():
        monkeypatch.setattr(copying.Copier, "copy", copy)

    return begin


@pytest.fixture
def spoilt_on_the_disk(monkeypatch):
    """A disk that keeps another byte than the last that it was given, of pictures or of the database."""
    honest = beside.read_back

    def read(path, begin=0, length=None):
        long = path.stat().st_size if length is None else length
        if (long > LONGEST_PICTURE) != database:
            return honest(path, begin, length)
        at = begin + long - 1
        with path.open("r+b") as file:
            file.seek(at)
            byte = file.read(1)
            file.seek(at)
            file.write(bytes([byte[0] ^ 1]))
        return honest(path, begin, length)

    database = False

    def begin(*, of_database=False):
        nonlocal database
        database = of_database
        monkeypatch.setattr(beside, "read_back", read)

    return begin


@pytest.fixture(params=["way", "disk"])
def spoil(request, spoilt_on_the_way, spoilt_on_the_disk):
    """Each of the two in turn, from when it is called."""
    return {"way": spoilt_on_the_way, "disk": spoilt_on_the_disk}[request.param]


def test_a_wrong_byte_makes_no_backup(stick, spoil):
    spoil()
    with pytest.raises(BackupError, match="the disk is not sound"):
        write_backup(stick / "b.zip")
    assert not list(stick.iterdir())


def test_a_wrong_byte_of_the_database_makes_no_backup(stick, home, spoilt_on_the_disk):
    write_backup(stick / "whole.zip")
    spoilt_on_the_disk(of_database=True)
    with pytest.raises(BackupError, match="the disk is not sound"):
        write_backup(stick / "b.zip")
    assert [path.name for path in stick.iterdir()] == ["whole.zip"]
    with pytest.raises(RestoreError, match=r"catalogue\.sqlite3 is damaged"):
        unpack(stick / "whole.zip", home)


def test_a_wrong_byte_makes_no_day_and_no_name_in_the_store(stick, spoil):
    spoil()
    with pytest.raises(BackupError, match="the disk is not sound"):
        back_up_day(stick, keep=30)
    assert days_in(stick) == []
    assert not [path for path in (stick / BACKUP_ROOM).rglob("*") if path.is_file()]


def test_a_wrong_byte_restores_nothing(stick, home, spoil):
    write_backup(stick / "b.zip")
    spoil()
    with pytest.raises(RestoreError, match="is damaged: it is not what its manifest says"):
        unpack(stick / "b.zip", home)
    assert not restore_swap.is_ready(home)
    assert not list(home.iterdir())


def test_a_day_restored_is_read_back_too(stick, home, spoil):
    back_up_day(stick, keep=30)
    (day,) = days_in(stick)
    spoil()
    with pytest.raises(RestoreError, match="is damaged"):
        unpack(day, home)
    assert not list(home.iterdir())


def test_a_disk_that_ends_files_early_makes_no_backup(stick, monkeypatch):
    def read(path, begin=0, length=None):
        found = read_back(path, begin, length)
        return found._replace(length=found.length - 1)

    monkeypatch.setattr(beside, "read_back", read)
    for write in (lambda: write_backup(stick / "b.zip"), lambda: back_up_day(stick, keep=30)):
        with pytest.raises(BackupError, match="the disk is not sound"):
            write()


@pytest.mark.parametrize("where", ["header", "list"])
def test_headers_and_the_list_are_read_back(stick, monkeypatch, where):
    """The list at the end, and the header that stands before each file, have the sum of what is there."""
    honest = StoredZip.finish

    def finish(self):
        honest(self)
        self.out.flush()
        entry = self.entries[2]
        at = entry.at + 14 if where == "header" else self.out.tell() - 40
        handle = os.open(next(stick.glob("b.zip*")), os.O_RDWR)
        (byte,) = os.pread(handle, 1, at)
        os.pwrite(handle, bytes([byte ^ 1]), at)
        os.close(handle)

    monkeypatch.setattr(StoredZip, "finish", finish)
    with pytest.raises(BackupError, match="does not list what it should|can't be opened"):
        write_backup(stick / "b.zip")
    assert not list(stick.iterdir())


@pytest.mark.parametrize("step", ["force_to_disk", "read_back"])
def test_a_disk_that_can_not_keep_it_or_give_it_back_is_said(stick, monkeypatch, step):
    def fails(path, *given):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(beside, step, fails)
    for write in (lambda: write_backup(stick / "b.zip"), lambda: back_up_day(stick, keep=30)):
        with pytest.raises(BackupError, match="input/output error"):
            write()
    assert not [path for path in stick.rglob("*") if path.is_file()]


@pytest.fixture
def steps(monkeypatch) -> list[tuple[str, int]]:
    """What was forced to disk, let go of and read back, in turn; files by their number in the system."""
    seen: list[tuple[str, int]] = []

    def noting(module, name, which):
        honest = getattr(module, name)

        def noted(*given):
            seen.append((name, which(given[0])))
            return honest(*given)

        monkeypatch.setattr(module, name, noted)

    noting(beside, "force_to_disk", lambda path: path.stat().st_ino)
    noting(beside, "let_go_of", lambda file: os.fstat(file.fileno()).st_ino)
    noting(beside, "crc32", lambda block: 0)
    return seen


@pytest.mark.parametrize("act", ["file", "day", "restore"])
def test_what_is_read_back_was_forced_to_disk_and_let_go_of_before(stick, home, monkeypatch, steps, act):
    """Read from the memory that it was written through, it would say nothing of the disk."""
    monkeypatch.setattr(beside, "READING_THREADS", 1)
    acts = {
        "file": lambda: write_backup(stick / "b.zip"),
        "day": lambda: back_up_day(stick, keep=30),
        "restore": lambda: unpack(stick / "b.zip", home),
    }
    if act == "restore":
        acts["file"]()
        steps.clear()
    acts[act]()
    forced: set[int] = set()
    let_go = 0
    for step, which in steps:
        if step == "force_to_disk":
            forced.add(which)
        elif step == "let_go_of":
            assert which in forced
            let_go += 1
        else:
            assert let_go % 2 == 1
    assert let_go >= 10


@pytest.mark.skipif(not hasattr(os, "posix_fadvise"), reason="this system knows no such wish")
def test_the_system_is_asked_to_let_go_of_what_passed_through(stick, monkeypatch):
    """Both of what was read of the catalogue and of what was written."""
    asked: set[int] = set()
    honest = os.posix_fadvise

    def forget(handle, begin, length, wish):
        if wish == os.POSIX_FADV_DONTNEED:
            asked.add(os.fstat(handle).st_ino)
        honest(handle, begin, length, wish)

    monkeypatch.setattr(os, "posix_fadvise", forget)
    written = write_backup(stick / "b.zip")
    assert written.path.stat().st_ino in asked
    assert {file.place.stat().st_ino for file in files_to_keep() if file.digest} <= asked


def test_a_system_that_knows_no_such_wish_backs_up_too(stick, monkeypatch):
    monkeypatch.delattr(os, "posix_fadvise", raising=False)
    assert write_backup(stick / "b.zip").path.is_file()
