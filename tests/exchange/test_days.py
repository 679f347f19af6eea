"""A folder of days: only what is new is copied, any day can be gone back to."""

import shutil
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from catalogue.access.startup import restore_swap
from catalogue.exchange.backup import days
from catalogue.exchange.backup.copying import BackupError, Interrupted
from catalogue.exchange.backup.day_folder import BACKUP_ROOM, days_in
from catalogue.exchange.backup.days import back_up_day, check_store, refusal
from catalogue.exchange.backup.restore import RestoreError, unpack
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.photos.services import store
from catalogue.specimens.models import Specimen
from tests import factories
from tests.exchange.conftest import fill
from tests.pages.pictures import picture

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def stick(data_folder, tmp_path_factory) -> Path:
    """A disk for backups beside a small catalogue."""
    fill()
    return tmp_path_factory.mktemp("stick")


@pytest.fixture
def clock(monkeypatch):
    """Each backup is made an hour after the one before; `clock(days=1)` lets days go by."""
    now = [datetime(2026, 3, 1, 8, tzinfo=UTC)]

    class Clock:
        @staticmethod
        def now(zone):
            now[0] += timedelta(hours=1)
            return now[0]

    monkeypatch.setattr(days, "datetime", Clock)

    def later(**passed):
        now[0] += timedelta(**passed)

    return later


def in_store(stick: Path) -> dict[str, int]:
    room = stick / BACKUP_ROOM / "store"
    return {path.name: path.stat().st_mtime_ns for path in room.rglob("*") if path.is_file()}


def test_a_second_one_copies_only_what_is_new(stick, clock):
    back_up_day(stick, keep=30)
    before = in_store(stick)
    assert len(before) == 4
    clock(days=1)
    Photo.objects.create(find=factories.find("Jar"), **store(picture("n.jpg", (9, 9, 9))))
    told = []
    back_up_day(stick, keep=30, progress=lambda done, of: told.append(of))
    after = in_store(stick)
    assert len(after) == 5
    assert {name: after[name] for name in before} == before
    assert len(days_in(stick)) == 2
    new = Photo.objects.order_by("-pk").first()
    assert told[-1] < new.bytes + 2000


def test_any_day_can_be_gone_back_to(stick, clock, tmp_path):
    back_up_day(stick, keep=30)
    clock(days=1)
    factories.find("Jar")
    back_up_day(stick, keep=30)
    first, second = days_in(stick)
    for day, finds in ((first, 2), (second, 3)):
        home = tmp_path / day.name
        home.mkdir()
        assert unpack(day, home).contents.finds == finds
        assert restore_swap.is_ready(home)
        originals = home / "restored" / "files" / "originals"
        assert len([path for path in originals.rglob("*") if path.is_file()]) == 2


def test_days_past_those_kept_go_and_with_them_what_no_day_has(stick, clock):
    back_up_day(stick, keep=2)
    back_up_day(stick, keep=2)
    assert len(days_in(stick)) == 1, "of one day the last is kept"
    gone = Photo.objects.first()
    files.remove_original(gone.sha256, gone.format)
    gone.delete()
    for _ in range(2):
        clock(days=1)
        assert f"{gone.sha256}.jpg" in in_store(stick)
        back_up_day(stick, keep=2)
    assert len(days_in(stick)) == 2
    assert f"{gone.sha256}.jpg" not in in_store(stick)
    assert check_store(stick, thoroughly=True).sound


def test_an_end_in_the_middle_leaves_the_days_before_as_they_were(stick, clock):
    back_up_day(stick, keep=30)
    (before,) = days_in(stick)
    clock(days=1)
    Photo.objects.create(find=Specimen.objects.first(), **store(picture("n.jpg", (9, 9, 9))))
    stop = threading.Event()
    with pytest.raises(Interrupted):
        back_up_day(stick, keep=30, progress=lambda done, of: stop.set(), stop=stop)
    assert days_in(stick) == [before]
    assert not list((stick / BACKUP_ROOM).rglob("*.part*"))
    back_up_day(stick, keep=30)
    assert len(days_in(stick)) == 2


def test_a_crash_in_the_middle_is_swept_by_the_next_one(stick, clock):
    back_up_day(stick, keep=30)
    half = stick / BACKUP_ROOM / "days" / "2026-03-02-080000.part"
    half.mkdir()
    clock(days=1)
    back_up_day(stick, keep=30)
    assert not half.exists()


def test_an_original_damaged_here_never_spoils_the_store(stick, clock, tmp_path):
    bad = Photo.objects.first()
    files.original(bad.sha256, bad.format).write_bytes(b"rotten")
    written = back_up_day(stick, keep=30)
    assert written.contents.damaged == [f"originals/{bad.sha256[:2]}/{bad.sha256}.jpg"]
    assert f"{bad.sha256}.jpg" not in in_store(stick)
    home = tmp_path / "home"
    home.mkdir()
    assert unpack(days_in(stick)[0], home).contents.damaged


def test_what_an_earlier_one_wrote_is_looked_at_by_name_and_by_every_byte(stick, clock):
    back_up_day(stick, keep=30)
    assert check_store(stick, thoroughly=True).sound
    original = next((stick / BACKUP_ROOM / "store" / "originals").rglob("*.jpg"))
    content = original.read_bytes()
    original.write_bytes(b"x" * len(content))
    assert check_store(stick, thoroughly=False).sound, "a look at names can't see it"
    assert check_store(stick, thoroughly=True).damaged
    original.unlink()
    assert check_store(stick, thoroughly=False).missing


def test_a_file_of_the_store_that_shrank_is_found_and_copied_anew(stick, clock):
    back_up_day(stick, keep=30)
    original = next((stick / BACKUP_ROOM / "store" / "originals").rglob("*.jpg"))
    original.write_bytes(b"short")
    clock(days=1)
    back_up_day(stick, keep=30)
    assert check_store(stick, thoroughly=True).sound


def test_a_day_whose_picture_is_gone_from_the_store_is_refused(stick, clock, tmp_path):
    back_up_day(stick, keep=30)
    shutil.rmtree(stick / BACKUP_ROOM / "store" / "originals")
    home = tmp_path / "home"
    home.mkdir()
    with pytest.raises(RestoreError, match="missing from it"):
        unpack(days_in(stick)[0], home)


def test_folders_that_backups_can_not_go_to_are_said(stick, data_folder, tmp_path):
    assert refusal(stick) == ""
    assert "whole way" in refusal(Path("stick"))
    assert "no such folder" in refusal(tmp_path / "gone")
    assert "own folder" in refusal(data_folder)
    inside = data_folder / "files"
    assert "own folder" in refusal(inside)
    with pytest.raises(BackupError, match="no such folder"):
        back_up_day(tmp_path / "gone", keep=30)


def test_a_disk_that_is_pulled_out_is_said_and_nothing_half_is_left(stick, clock, monkeypatch):
    def pulled(block):
        raise OSError(5, "Input/output error")

    back_up_day(stick, keep=30)
    clock(days=1)
    Photo.objects.create(find=Specimen.objects.first(), **store(picture("n.jpg", (9, 9, 9))))
    with pytest.raises(BackupError, match="input/output error"):
        back_up_day(stick, keep=30, progress=lambda done, of: pulled(done))
    assert len(days_in(stick)) == 1
