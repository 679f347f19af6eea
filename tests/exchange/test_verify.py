"""The whole look through a catalogue, tried by breaking one thing after the other."""

import hashlib
import os
import time
from collections.abc import Callable
from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from catalogue.access.startup import database, last_backup, schema
from catalogue.exchange import verify as verifying
from catalogue.exchange.models import BackupPlan, BackupRun
from catalogue.exchange.verify import verify
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.photos.services import integrity
from catalogue.sites import papers
from catalogue.sites.models import Permission
from tests.attacks._catalogue import jpeg
from tests.exchange.conftest import fill


@pytest.fixture
def sound(db, data_folder, tmp_path_factory) -> None:
    """A small catalogue with nothing amiss."""
    fill()
    # Files that were put there beside the program have no smaller copies yet.
    integrity.check_pictures()
    BackupPlan(pk=1, place=str(tmp_path_factory.mktemp("stick"))).save()
    BackupRun.objects.create(place="x", kind=BackupRun.Kind.DAY, files=1, bytes=1)


def amiss() -> dict[str, str]:
    return {part.part: part.words for part in verify() if not part.sound}


def test_nothing_amiss_is_said_of_a_sound_one(sound):
    assert amiss() == {}
    out = StringIO()
    call_command("verify", stdout=out)
    assert "Everything is sound." in out.getvalue()


def spoil_paper() -> None:
    name = Permission.objects.get().file
    papers.path_of(str(name)).write_bytes(b"%PDF-1.4 other")


def lose_paper() -> None:
    papers.path_of(str(Permission.objects.get().file)).unlink()


def spoil_picture() -> None:
    photo = Photo.objects.first()
    files.original(photo.sha256, photo.format).write_bytes(b"rotten")


def lose_picture() -> None:
    photo = Photo.objects.first()
    files.original(photo.sha256, photo.format).unlink()


def stale_column() -> None:
    with connection.cursor() as cursor:
        cursor.execute("UPDATE specimens_specimen SET made_words = 'made up'")


def no_plan() -> None:
    BackupPlan.objects.all().delete()


def no_backup() -> None:
    BackupRun.objects.all().delete()


def old_backup() -> None:
    BackupRun.objects.update(at=timezone.now() - timedelta(days=40))


def unplugged() -> None:
    BackupPlan.objects.update(place="/nowhere/stick")


def lose_size() -> None:
    files.size(Photo.objects.first().sha256, "small").unlink()


def orphan() -> None:
    """As an upload that was given up leaves it, two days ago."""
    content = jpeg(7)
    path = files.original(hashlib.sha256(content).hexdigest(), "JPEG")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    os.utime(path, (time.time() - 2 * 86400,) * 2)


def earlier_version() -> None:
    recorder = MigrationRecorder(connection)
    recorder.record_unapplied(*MigrationLoader(connection).graph.leaf_nodes("access")[0])


@pytest.mark.parametrize(
    ("break_it", "part", "said"),
    [
        (spoil_paper, "Papers", "is damaged"),
        (lose_paper, "Papers", "is missing"),
        (spoil_picture, "Original pictures", "not what was taken in"),
        (lose_picture, "Original pictures", "its file is gone"),
        (stale_column, "Worked-out columns", "can be worked out again"),
        (no_plan, "Backups", "No folder is chosen for one each day: choose one"),
        (no_backup, "Backups", "None was made. Start the catalogue"),
        (old_backup, "Backups", "That is long ago"),
        (unplugged, "Backups", "The folder /nowhere/stick is not there: plug its disk in"),
        (lose_size, "Smaller pictures", "1 original has none yet, or not all: an open catalogue makes them"),
        (orphan, "Pictures that belong to nothing", "1 was never saved with anything: it can be set aside"),
        (earlier_version, "Tables", "of an earlier version: start the catalogue once"),
    ],
)
def test_what_is_broken_is_found_and_nothing_else(sound, break_it: Callable[[], None], part, said):
    break_it()
    found = amiss()
    assert set(found) == {part}
    assert said in found[part]


def files_there() -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in files.root().rglob("*") if path.is_file()}


@pytest.mark.parametrize("break_it", [stale_column, lose_size, orphan])
def test_what_is_safe_is_mended_on_the_owners_word_alone(sound, monkeypatch, break_it):
    break_it()
    (said,) = amiss().values()
    before = files_there()
    asked: list[str] = []
    for answer in ("no", "", "perhaps"):
        monkeypatch.setattr("builtins.input", lambda words, answer=answer: asked.append(words) or answer)
        with pytest.raises(SystemExit) as ended:
            call_command("verify", stdout=StringIO())
        assert ended.value.code == 1
    assert len(asked) == 3
    assert list(amiss().values()) == [said] and files_there() == before
    monkeypatch.setattr("builtins.input", lambda words: "yes")
    out = StringIO()
    call_command("verify", stdout=out)
    assert "      Mended." in out.getvalue() and amiss() == {}
    assert set(before.values()) <= set(files_there().values()), "nothing was deleted"


def test_a_mend_that_fails_is_not_called_one(sound, monkeypatch):
    lose_size()
    monkeypatch.setattr(verifying, "make_and_note", lambda sha256, kind: False)
    out = StringIO()
    with pytest.raises(SystemExit):
        call_command("verify", mend=True, stdout=out)
    assert "Mended" not in out.getvalue() and out.getvalue().count("AMISS Smaller pictures") == 2

    def full(*_: object) -> bool:
        raise OSError("No space left on device")

    monkeypatch.setattr(verifying, "make_and_note", full)
    with pytest.raises(SystemExit):
        call_command("verify", mend=True, stdout=out)
    assert "It could not be mended (No space left on device)." in out.getvalue()


def test_on_a_full_disk_it_looks_all_the_same(sound, monkeypatch):
    """What was found can't be noted then; it is told."""
    spoil_picture()
    monkeypatch.setattr(verifying, "room_mb", lambda folder: 3)

    def full(*_: object, **__: object) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(integrity, "note", full)
    found = amiss()
    assert set(found) == {"Room on the disk", "Original pictures"}
    assert "Only 3 MB are free: make room" in found["Room on the disk"]


def test_what_can_not_be_looked_at_is_said_and_the_rest_goes_on(sound, monkeypatch):
    def malformed(*_: object, **__: object) -> None:
        raise DatabaseError("database disk image is\nmalformed")

    words = "can't be looked at (database disk image is malformed)."
    monkeypatch.setattr(verifying, "digest_in", malformed)
    lose_size()
    assert amiss()["Papers"] == f"It {words}" and set(amiss()) == {"Papers", "Smaller pictures"}
    for part, broken in (
        ("Room on the disk", "room_mb"),
        ("Original pictures", "check_pictures"),
        ("Worked-out columns", "differences"),
        ("Backups", "state"),
    ):
        monkeypatch.setattr(verifying, broken, malformed)
        assert words in amiss()[part]


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OperationalError("disk I/O error"), "It can't be looked at (disk I/O error)."),
        (
            DatabaseError("file is not a database"),
            "is not sound (file is not a database). No backup of it is known here: if you have one, ",
        ),
    ],
)
def test_only_a_damaged_database_is_to_be_restored(sound, monkeypatch, error, words):
    """On a disk without any room left SQLite can't even read; what stands there may be whole."""

    def broken() -> None:
        raise error

    # Only here: the end of each test asks the same.
    with monkeypatch.context() as patch:
        patch.setattr(connection, "check_constraints", broken)
        found = amiss()
    assert words in found["Database"] and set(found) == {"Database"}


def test_of_a_damaged_database_the_last_good_backup_is_named(sound, monkeypatch, tmp_path):
    """As at the start: by its day, and by the command that puts it in the place of what is damaged."""
    made = tmp_path / "bottles.zip"
    made.touch()
    last_backup.note_last_backup(made, timezone.now())

    def broken() -> None:
        raise DatabaseError("database disk image is malformed")

    with monkeypatch.context() as patch:
        patch.setattr(connection, "check_constraints", broken)
        patch.setattr(schema, "missing", lambda _: ["specimens_town.name"])
        found = amiss()
    for part in ("Database", "Tables"):
        assert f"The last good backup is of {timezone.localdate():%Y-%m-%d}: " in found[part]
        assert f"restore {made}" in found[part] and "puts it in the place of what is damaged" in found[part]


def test_what_there_is_none_of_is_not_counted(db, data_folder):
    """ "0 read and compared" says that nothing was done."""
    words = {part.part: part.words for part in verify()}
    assert words["Papers"] == words["Original pictures"] == "None is on record."
    assert words["Added lists of towns"] == "None was added."
    assert not [each for each in words.values() if each.startswith("0 ")]


def test_where_there_is_no_catalogue_none_is_made(tmp_path, monkeypatch):
    monkeypatch.setattr(database, "file", lambda: tmp_path / "catalogue.sqlite3")
    with pytest.raises(CommandError, match="There is no catalogue in"):
        call_command("verify", stdout=StringIO())
    assert not list(tmp_path.iterdir())


def test_what_can_not_be_mended_stays_said(sound):
    lose_picture()
    with pytest.raises(SystemExit):
        call_command("verify", mend=True, stdout=StringIO())
