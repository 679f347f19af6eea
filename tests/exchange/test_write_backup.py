"""A backup as one file: what it holds, judged by another BagIt tool; broken off while it is made."""

import sqlite3
import threading
import zipfile
from contextlib import closing
from pathlib import Path

import bagit as judge
import pytest

from catalogue.exchange.backup import archive
from catalogue.exchange.backup.archive import write_backup
from catalogue.exchange.backup.copying import BackupError, Interrupted
from catalogue.photos import files
from catalogue.photos.models import Photo
from tests.exchange.conftest import fill
from tests.photos.conftest import a_find

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def filled(data_folder, tmp_path) -> Path:
    fill()
    return tmp_path / "b.zip"


def names(path: Path) -> set[str]:
    with zipfile.ZipFile(path) as made:
        return {name.split("/", 1)[1] for name in made.namelist()}


def test_another_tool_calls_it_a_valid_bag(filled, tmp_path):
    """`bagit` 1.9.0, every digest read; it takes version 1.0 as declared."""
    write_backup(filled)
    with zipfile.ZipFile(filled) as made:
        made.extractall(tmp_path / "out")
    (folder,) = (tmp_path / "out").iterdir()
    bag = judge.Bag(str(folder))
    assert bag.validate(processes=1) is True
    assert bag.version_info == (1, 0)
    assert bag.info["Payload-Oxum"].split(".")[1] == str(len(bag.payload_entries()))
    # What the judge calls broken, so that its word counts: one changed letter.
    paper = next(folder.rglob("*.pdf"))
    paper.write_bytes(paper.read_bytes().replace(b"letter", b"lettez"))
    with pytest.raises(judge.BagValidationError):
        judge.Bag(str(folder)).validate()


def test_it_holds_the_database_originals_and_papers_and_nothing_that_can_be_made_again(filled):
    written = write_backup(filled)
    held = names(filled)
    for sha256 in Photo.objects.values_list("sha256", flat=True):
        assert f"data/files/originals/{sha256[:2]}/{sha256}.jpg" in held
    assert any(name.startswith("data/files/papers/") for name in held)
    assert "data/catalogue.sqlite3" in held
    assert not any("/sizes/" in name or "/arriving/" in name for name in held)
    assert written.contents.finds == 2
    assert written.contents.pictures == 2
    assert written.contents.missing == written.contents.damaged == []


def test_pictures_are_stored_as_they_are(filled):
    write_backup(filled)
    with zipfile.ZipFile(filled) as made:
        assert {entry.compress_type for entry in made.infolist()} == {zipfile.ZIP_STORED}


def test_who_is_signed_in_stays_out_of_it(filled, tmp_path, client, django_user_model):
    client.force_login(django_user_model.objects.create(username="x"))
    write_backup(filled)
    with zipfile.ZipFile(filled) as made:
        (name,) = [name for name in made.namelist() if name.endswith("catalogue.sqlite3")]
        (tmp_path / "copy").write_bytes(made.read(name))
    with sqlite3.connect(tmp_path / "copy") as direct:
        assert direct.execute("SELECT count(*) FROM django_session").fetchone() == (0,)
    assert client.session.session_key.encode() not in (tmp_path / "copy").read_bytes()


def test_a_missing_and_a_damaged_original_are_named_and_do_not_stop_it(filled):
    first, second = Photo.objects.order_by("pk")
    files.original(first.sha256, first.format).unlink()
    files.original(second.sha256, second.format).write_bytes(b"rotten")
    written = write_backup(filled)
    assert written.contents.missing == [first.sha256]
    assert written.contents.damaged == [f"originals/{second.sha256[:2]}/{second.sha256}.jpg"]


def test_progress_ends_at_all_of_it(filled):
    told = []
    written = write_backup(filled, progress=lambda done, of: told.append((done, of)))
    assert told[-1] == (written.bytes, written.bytes)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_an_end_in_the_middle_leaves_nothing(filled):
    stop = threading.Event()
    with pytest.raises(Interrupted):
        write_backup(filled, progress=lambda done, of: stop.set(), stop=stop)
    assert not list(filled.parent.glob("b.zip*"))


def test_without_room_nothing_is_begun(filled, monkeypatch):
    monkeypatch.setattr(archive, "free_bytes", lambda folder: 1_000_000)
    with pytest.raises(BackupError, match=r"has 1 MB left and the backup needs \d+ MB"):
        write_backup(filled)
    assert not list(filled.parent.glob("b.zip*"))


def test_a_file_that_is_there_is_never_written_over(filled):
    filled.write_text("mine")
    with pytest.raises(BackupError, match="is there already"):
        write_backup(filled)
    assert filled.read_text() == "mine"


def test_a_folder_that_is_not_there_is_said(filled):
    with pytest.raises(BackupError, match=r"No backup was made \(no such file"):
        write_backup(filled.parent / "stick" / "b.zip")


def test_it_is_one_state_of_the_database_while_others_write(filled, tmp_path):
    """What is recorded while pictures are copied is not in it, and does not stop it."""
    later = []

    def write_meanwhile(done, of):
        if not later:
            later.append(a_find(99))

    written = write_backup(filled, progress=write_meanwhile)
    assert later
    assert written.contents.finds == 2


def test_what_search_reads_is_made_anew_and_not_in_it(filled, tmp_path):
    """No trigger runs in a copy that somebody else may open; the entries themselves are there."""
    with zipfile.ZipFile(write_backup(filled).path) as made:
        (name,) = [name for name in made.namelist() if name.endswith("catalogue.sqlite3")]
        (tmp_path / "copy").write_bytes(made.read(name))
    with closing(sqlite3.connect(tmp_path / "copy")) as direct:
        kinds = {kind for (kind,) in direct.execute("SELECT type FROM sqlite_master")}
        assert kinds <= {"table", "index"}
        assert not direct.execute("SELECT 1 FROM sqlite_master WHERE sql LIKE '%VIRTUAL%'").fetchall()
        assert direct.execute("SELECT count(*) FROM specimens_searchentry").fetchone()[0] >= 2
