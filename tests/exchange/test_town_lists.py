"""Countries that the owner added go into every backup and come back with it, and a foreign file does not."""

import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest

from catalogue.access.startup import restore_swap
from catalogue.access.startup.identity import has_files
from catalogue.exchange.backup.archive import write_backup
from catalogue.exchange.backup.day_folder import BACKUP_ROOM, STORE
from catalogue.exchange.backup.days import back_up_day
from catalogue.exchange.backup.restore import RestoreError, unpack
from catalogue.exchange.backup.town_lists import lists_words
from catalogue.exchange.verify import verify
from catalogue.specimens.gazetteer import named
from catalogue.specimens.town_files.added import take_away
from catalogue.specimens.town_files.room import paths_of
from tests.exchange.conftest import changed, fill

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    place = tmp_path / "home"
    place.mkdir()
    return place


def the_list(files: dict[str, bytes]) -> str:
    (path,) = (path for path in files if "/towns/" in path)
    return path


def test_it_comes_back_and_is_looked_up(backup, home, settings):
    assert unpack(backup, home).towns == ["IN"]
    restore_swap.swap(home, home / "catalogue.sqlite3")
    settings.DATA_DIR, settings.MEDIA_ROOT = home, home / "files"
    assert named("Quarlpur")


def test_one_laid_aside_comes_back_laid_aside(backup, home, tmp_path, settings, data_folder):
    take_away("IN")
    write_backup(tmp_path / "aside.zip")
    assert unpack(tmp_path / "aside.zip", home).towns == []
    restore_swap.swap(home, home / "catalogue.sqlite3")
    settings.DATA_DIR, settings.MEDIA_ROOT = home, home / "files"
    assert not named("Quarlpur") and [path.parent.name for path in paths_of("aside")] == ["IN"]


def test_days_share_it_and_it_is_copied_once(data_folder, tmp_path_factory):
    fill()
    stick = tmp_path_factory.mktemp("stick")
    back_up_day(stick, keep=9)
    (kept,) = (stick / BACKUP_ROOM / STORE / "towns").rglob("*.sqlite3")
    written = kept.stat().st_ino
    time.sleep(1.1)  # a day is named by its second
    day = back_up_day(stick, keep=9)
    assert kept.stat().st_ino == written
    assert not list((day.path / "data").rglob("*/towns/*/*"))
    assert any("/towns/IN/" in each for each in (day.path / "manifest-sha256.txt").read_text().splitlines())


def with_trigger(content: bytes, folder: Path) -> bytes:
    place = folder / "hostile.sqlite3"
    place.write_bytes(content)
    with closing(sqlite3.connect(place)) as file:
        file.execute("CREATE VIEW counted AS SELECT 1")
        file.commit()
    return place.read_bytes()


@pytest.mark.parametrize(
    "name",
    [
        "data/files/towns/IN.sqlite3",
        "data/files/towns/in/{}.sqlite3",
        "data/files/towns/IN/x.sqlite3",
        "data/files/towns/IN/{}.py",
        "data/files/towns/IN/more/{}.sqlite3",
    ],
)
def test_a_file_of_another_name_among_them_is_refused(backup, home, name):
    def move(files):
        path = the_list(files)
        files[name.format(path.rsplit("/", 1)[-1].split(".")[0])] = files.pop(path)

    with pytest.raises(RestoreError, match="no part of a catalogue"):
        unpack(changed(backup, move), home)
    assert list(home.iterdir()) == []


def test_what_is_no_list_of_towns_is_refused(backup, home, tmp_path):
    def hostile(files):
        files[the_list(files)] = with_trigger(files[the_list(files)], tmp_path)

    def other(files):
        files[the_list(files)] = b"no database at all"

    for change in (hostile, other):
        with pytest.raises(RestoreError, match="no list of towns"):
            unpack(changed(backup, change), home)
        assert list(home.iterdir()) == []


def test_verify_reads_it(data_folder):
    fill()

    def told():
        return next(part for part in verify() if part.part == "Added lists of towns")

    assert told().sound and told().words == "1 read and compared."
    (path,) = paths_of("sqlite3")
    content = path.read_bytes()
    path.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
    assert not told().sound and "that of IN is damaged" in told().words
    path.unlink()
    assert told().words == "None was added."


def test_a_restore_says_which_come_and_which_go(data_folder):
    assert lists_words([]) == ""
    fill()
    assert lists_words(["FR", "IN"]) == " Added lists of towns: FR, IN."
    assert "those added here (IN) go with what is here now" in lists_words([])


def test_a_folder_with_nothing_but_lists_has_nothing_to_lose(data_folder):
    fill()
    assert has_files(data_folder)
    for room in (data_folder / "files").iterdir():
        if room.name != "towns":
            room.rename(data_folder / room.name)
    assert not has_files(data_folder)
