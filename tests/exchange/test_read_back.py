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


def test_a_disk_that_fails_while_it_is_read_back_is_said(stick, monkeypatch):
    def read(path, begin=0, length=None):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(beside, "read_back", read)
    for write in (lambda: write_backup(stick / "b.zip"), lambda: back_up_day(stick, keep=30)):
        with pytest.raises(BackupError, match="input/output error"):
            write()
    assert not [path for path in stick.rglob("*") if path.is_file()]
