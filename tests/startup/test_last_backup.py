"""A damaged database: the start says where the last good backup is, and how to put it in its place."""

from datetime import UTC, datetime

import pytest

from catalogue.access.startup import StartRefused, database, migration_backup
from catalogue.access.startup.last_backup import last_backup_offered, note_last_backup

MADE = datetime(2026, 11, 28, 20, tzinfo=UTC)


@pytest.fixture
def damaged(data_folder):
    """A data folder whose database is no database any more."""
    path = data_folder / "catalogue.sqlite3"
    path.write_bytes(b"SQLite format 3\x00" + b"\xff" * 8000)
    return path


def refusal(path) -> str:
    with pytest.raises(StartRefused, match="is damaged") as error:
        database.check_whole(path)
    return str(error.value)


def test_the_last_good_backup_is_offered_with_the_words_to_type(damaged, data_folder):
    backup = data_folder / "my stick" / "b.zip"
    backup.parent.mkdir()
    backup.write_bytes(b"")
    note_last_backup(backup, MADE)
    said = refusal(damaged)
    assert "nothing was changed. The last good backup is of 2026-11-28: " in said
    assert f"restore '{backup}' --data {data_folder} checks it and puts it in the place" in said


def test_one_whose_disk_is_away_is_named_all_the_same(damaged, data_folder):
    note_last_backup(data_folder / "stick" / "b.zip", MADE)
    assert "stick/b.zip, which is not there just now: plug its disk in, then " in refusal(damaged)


def test_without_a_backup_the_copy_from_before_an_update_is_offered(damaged, data_folder):
    assert "No backup of it is known here" in refusal(damaged)
    folder = data_folder / migration_backup.FOLDER
    folder.mkdir()
    for number in (1, 2):
        (folder / f"catalogue-000{number}-2026-05-04.sqlite3").write_bytes(b"")
    said = refusal(damaged)
    assert "a copy from before an update is there: " in said and "catalogue-0002-2026-05-04.sqlite3" in said


@pytest.mark.parametrize("note", ["", "[]", "{}", '{"path": 1}', "\x00"])
def test_a_note_that_nobody_can_read_is_no_note(data_folder, note):
    (data_folder / "last-backup.json").write_text(note)
    assert last_backup_offered(data_folder).startswith("No backup of it is known here")
