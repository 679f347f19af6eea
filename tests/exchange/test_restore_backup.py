"""A backup restored into a fresh folder; damaged, foreign, newer and hostile ones refused."""

import json
import shutil
import sqlite3
import stat
import threading
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from catalogue.access.startup import restore_swap
from catalogue.exchange.backup import restore
from catalogue.exchange.backup.bagit import BagError
from catalogue.exchange.backup.copying import Interrupted
from catalogue.exchange.backup.payload import check_payload_path
from catalogue.exchange.backup.restore import RestoreError, unpack
from catalogue.photos.models import Photo
from tests.exchange.conftest import changed

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty data folder on the new laptop."""
    place = tmp_path / "home"
    place.mkdir()
    return place


def refused(path: Path, home: Path) -> str:
    """The sentence with which it is refused; nothing waits then."""
    with pytest.raises(RestoreError) as told:
        unpack(path, home)
    assert list(home.iterdir()) == []
    said = str(told.value)
    assert said.endswith("Nothing was changed.")
    return said


def test_what_was_backed_up_waits_whole_and_is_swapped_in(backup, home):
    checked = unpack(backup, home)
    assert (checked.contents.finds, checked.contents.pictures) == (2, 2)
    assert restore_swap.is_ready(home)
    assert restore_swap.swap(home, home / "catalogue.sqlite3") is not None
    with closing(sqlite3.connect(home / "catalogue.sqlite3")) as direct:
        assert direct.execute("SELECT count(*) FROM specimens_specimen").fetchone() == (2,)
    for sha256 in Photo.objects.values_list("sha256", flat=True):
        assert (home / "files" / "originals" / sha256[:2] / f"{sha256}.jpg").is_file()
    assert len(list((home / "files" / "papers").rglob("*.pdf"))) == 1
    assert not restore_swap.is_ready(home)
    assert not restore_swap.waiting_room(home).exists()


def test_the_same_bag_unpacked_by_another_tool_is_taken_as_a_folder(backup, home, tmp_path):
    with zipfile.ZipFile(backup) as made:
        made.extractall(tmp_path / "out")
    (folder,) = (tmp_path / "out").iterdir()
    assert unpack(folder, home).contents.finds == 2


def test_a_zip_packed_anew_by_another_tool_is_taken(backup, home, tmp_path):
    """With folders as entries, and everything compressed."""
    with zipfile.ZipFile(backup) as made:
        made.extractall(tmp_path / "out")
    anew = Path(shutil.make_archive(str(tmp_path / "anew"), "zip", tmp_path / "out"))
    assert unpack(anew, home).contents.finds == 2


def test_one_changed_byte_is_found_wherever_it_is(backup, home):
    """Each file of the payload in turn; the manifests are left as they were."""

    def spoil(name):
        def change(files):
            files[name] = bytes([files[name][0] ^ 1]) + files[name][1:]

        return change

    with zipfile.ZipFile(backup) as made:
        names = [name.split("/", 1)[1] for name in made.namelist()]
    payload = [name for name in names if name.startswith("data/")]
    assert len(payload) == 6
    for name in payload:
        assert "is damaged" in refused(changed(backup, spoil(name), keep_tags=True), home), name
    for name in ("bag-info.txt", "manifest-sha256.txt", "siltmark.json"):
        assert refused(changed(backup, spoil(name), keep_tags=True), home), name


@pytest.mark.parametrize("share", [0.05, 0.5, 0.99])
def test_a_truncated_one_is_refused(backup, home, share):
    content = backup.read_bytes()
    backup.write_bytes(content[: int(len(content) * share)])
    assert "it is no zip, or its end is missing" in refused(backup, home)


def test_what_is_no_backup_is_refused(home, tmp_path):
    text = tmp_path / "notes.zip"
    text.write_text("field notes")
    assert "it is no zip" in refused(text, home)
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("holiday/1.jpg", b"x")
    assert "bagit.txt is missing" in refused(tmp_path / "other.zip", home)
    assert "it is not there" in refused(tmp_path / "gone.zip", home)


def put(name: str, content: bytes = b"x"):
    def change(files):
        files[name] = content

    return change


def take(name_part: str):
    def change(files):
        del files[next(name for name in files if name_part in name)]

    return change


@pytest.mark.parametrize(
    ("change", "keep", "said"),
    [
        (put("data/files/originals/extra.jpg"), True, "not in its manifest-sha256.txt"),
        (put("note.txt"), True, "not in its tagmanifest-sha256.txt"),
        (put("note.txt"), False, "no backup of this program has"),
        (put("fetch.txt"), False, "fetched from elsewhere"),
        (put("data/evil.py"), False, "no part of a catalogue"),
        (put("data/files/sizes/a.jpg"), False, "no part of a catalogue"),
        (take("originals/"), True, "missing from it"),
        (take("tagmanifest"), True, "tagmanifest-sha256.txt is missing"),
        (take("siltmark.json"), False, "siltmark.json is missing"),
        (take("data/catalogue.sqlite3"), False, "holds no database"),
        (
            put("bagit.txt", b"BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n"),
            False,
            "standard asks",
        ),
        (put("siltmark.json", b"[]"), False, "is not what this program writes"),
        (put("siltmark.json", b'{"program": "Other", "format": 1}'), False, "not a backup of this program"),
        (put("siltmark.json", b'{"program": "Siltmark", "format": 2}'), False, "newer version"),
        (put("data/catalogue.sqlite3", b"no database"), False, "its database is damaged"),
    ],
)
def test_a_bag_that_is_not_ours_is_refused_with_the_reason(backup, home, change, keep, said):
    assert said in refused(changed(backup, change, keep_tags=keep), home)


def test_an_original_that_the_database_names_and_nobody_said_was_missing(backup, home):
    assert "which its database names" in refused(changed(backup, take("originals/")), home)


def test_one_that_was_missing_when_it_was_made_is_restored_all_the_same(backup, home):
    sha256 = Photo.objects.first().sha256

    def change(files):
        del files[f"data/files/originals/{sha256[:2]}/{sha256}.jpg"]
        said = json.loads(files["siltmark.json"])
        files["siltmark.json"] = json.dumps({**said, "missing": [sha256]}).encode()

    assert unpack(changed(backup, change), home).contents.missing == [sha256]


def with_database(statement: str):
    """A change of the database within the backup."""

    def change(files):
        with closing(sqlite3.connect(":memory:")) as direct:
            direct.deserialize(files["data/catalogue.sqlite3"])
            direct.executescript(statement)
            direct.commit()
            files["data/catalogue.sqlite3"] = direct.serialize()

    return change


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        (
            "INSERT INTO django_migrations (app, name, applied) VALUES ('specimens', '9999_later', '2030')",
            r"made by a newer version of the program (its database has specimens.9999_later)",
        ),
        ("UPDATE access_catalogueid SET value = 'f'", "not the one that it says"),
        ("CREATE TRIGGER t AFTER INSERT ON people_person BEGIN DELETE FROM people_person; END", "holds t"),
        ("CREATE VIEW v AS SELECT 1", "holds v"),
        ("DROP TABLE specimens_specimen", "its database is damaged, or not a catalogue"),
    ],
)
def test_a_newer_strange_or_armed_database_is_refused(backup, home, statement, said):
    assert said in refused(changed(backup, with_database(statement)), home)


# --- zips made to harm ---


def hostile(backup: Path, entry: zipfile.ZipInfo | str, content: bytes = b"x", kind: int = 0) -> Path:
    copy = backup.with_name("hostile.zip")
    shutil.copy(backup, copy)
    with zipfile.ZipFile(copy, "a", kind) as made:
        made.writestr(entry, content)
    return copy


def top_of(backup: Path) -> str:
    with zipfile.ZipFile(backup) as made:
        return made.namelist()[0].split("/")[0]


@pytest.mark.parametrize(
    "name", ["{top}/../../evil", "{top}/data/../../x", "{top}//etc/x", "{top}/a\\..\\b", "{top}/C:/x"]
)
def test_a_path_that_leads_out_is_refused(backup, home, name):
    said = refused(hostile(backup, name.format(top=top_of(backup))), home)
    assert "leads out of it" in said
    assert not (home.parent / "evil").exists()


@pytest.mark.parametrize("name", ["/etc/passwd", "other/x", "x"])
def test_files_beside_its_one_folder_are_refused(backup, home, name):
    assert "don't lie in one folder" in refused(hostile(backup, name), home)


def test_a_link_is_refused(backup, home):
    entry = zipfile.ZipInfo(f"{top_of(backup)}/data/files/link")
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    assert "is a link" in refused(hostile(backup, entry, b"/etc/passwd"), home)


def test_a_link_in_a_folder_is_refused(backup, home, tmp_path):
    with zipfile.ZipFile(backup) as made:
        made.extractall(tmp_path / "out")
    (folder,) = (tmp_path / "out").iterdir()
    (folder / "data" / "files" / "link").symlink_to("/etc/passwd")
    assert "is a link" in refused(folder, home)


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_the_same_name_twice_is_refused_also_in_other_letters(backup, home):
    assert "twice" in refused(hostile(backup, f"{top_of(backup)}/bagit.txt"), home)
    assert "twice" in refused(hostile(backup, f"{top_of(backup)}/BAGIT.txt"), home)


def test_a_zip_bomb_is_refused_before_it_is_unpacked(backup, home):
    bomb = hostile(backup, f"{top_of(backup)}/data/files/zeros", b"\0" * 30_000_000, zipfile.ZIP_DEFLATED)
    assert "a zip bomb" in refused(bomb, home)


def test_entries_that_share_their_bytes_are_refused(backup, home):
    """The list at the end names one stretch twice, as bombs without nesting do."""
    copy = backup.with_name("overlap.zip")
    shutil.copy(backup, copy)
    with zipfile.ZipFile(copy, "a") as made:
        first = made.infolist()[0]
        second = zipfile.ZipInfo(f"{top_of(backup)}/data/files/again")
        for part in ("header_offset", "compress_size", "file_size", "CRC"):
            setattr(second, part, getattr(first, part))
        made.filelist.append(second)
        made.NameToInfo[second.filename] = second
        made._didModify = True
    assert "lie over each other" in refused(copy, home)


def test_an_end_in_the_middle_leaves_nothing(backup, home):
    stop = threading.Event()
    with pytest.raises(Interrupted):
        unpack(backup, home, progress=lambda done, of: stop.set(), stop=stop)
    assert list(home.iterdir()) == []


def test_without_room_it_is_refused(backup, home, monkeypatch):
    monkeypatch.setattr(restore, "free_bytes", lambda folder: 5_000_000)
    assert "has 5 MB left" in refused(backup, home)


def test_only_what_a_catalogue_has_may_be_in_the_payload():
    check_payload_path("data/files/originals/ab/x.jpg")
    for path in ("data/secret", "data/files/arriving/x", "data/../secret", "data/catalogue.sqlite3-wal"):
        with pytest.raises(BagError):
            check_payload_path(path)
