"""Folder and database know each other: what is opened together, what is refused, what is adopted."""

import io

import pytest

from catalogue.access.models import CatalogueId
from catalogue.access.startup import StartRefused, identity
from catalogue.access.startup.identity import DatabaseContents, Pairing
from catalogue.photos.models import HeldPicture
from tests.factories import find

A, B = "a" * 32, "b" * 32


@pytest.mark.parametrize(
    ("folder_id", "database_id", "contents", "has_files", "refused"),
    [
        # new, or from before the id
        (None, None, DatabaseContents.NOTHING, False, None),
        (None, None, DatabaseContents.ROWS, True, None),
        (None, None, DatabaseContents.ROWS, False, None),
        (None, None, DatabaseContents.NO_ROWS, False, None),
        # as it should be, also where nothing is recorded yet and a form waits with its pictures
        (A, A, DatabaseContents.ROWS, True, None),
        (A, A, DatabaseContents.NO_ROWS, True, None),
        # the database alone was moved to a new folder: its pictures are missing, and that is said elsewhere
        (None, A, DatabaseContents.ROWS, False, None),
        # pictures, and no, an empty, an unused, a strange or another database
        (None, None, DatabaseContents.NOTHING, True, "missing or empty"),
        (A, None, DatabaseContents.NOTHING, True, "missing or empty"),
        (None, None, DatabaseContents.NO_ROWS, True, "nothing is recorded"),
        (A, None, DatabaseContents.NO_ROWS, True, "nothing is recorded"),
        (A, None, DatabaseContents.ROWS, True, "does not know the pictures"),
        (None, A, DatabaseContents.ROWS, True, "does not know the pictures"),
        (A, B, DatabaseContents.ROWS, True, "another folder"),
        (A, B, DatabaseContents.ROWS, False, "another folder"),
        (None, None, DatabaseContents.STRANGE, False, "not a catalogue"),
        (None, None, DatabaseContents.STRANGE, True, "not a catalogue"),
    ],
)
def test_what_belongs_together(folder_id, database_id, contents, has_files, refused):
    objection = Pairing(folder_id, database_id, contents, has_files).objection
    if refused is None:
        assert objection is None
    else:
        assert refused in objection


@pytest.mark.parametrize(("folder_id", "database_id"), [(A, None), (None, A)])
def test_a_copy_put_together_by_hand_belongs_together_where_the_pictures_are_known(folder_id, database_id):
    pair = Pairing(folder_id, database_id, DatabaseContents.ROWS, has_files=True, knows_files=True)
    assert pair.objection is None


def test_known_pictures_do_not_make_up_for_another_folders_id():
    assert Pairing(A, B, DatabaseContents.ROWS, has_files=True, knows_files=True).objection


@pytest.mark.django_db
@pytest.mark.parametrize(("known", "unknown", "enough"), [(2, 2, True), (1, 2, False), (0, 1, False)])
def test_half_of_the_originals_must_be_known(tmp_path, known, unknown, enough):
    facts = {"format": "JPEG", "bytes": 1, "width": 1, "height": 1}
    for n in range(known + unknown):
        path = tmp_path / "files" / "originals" / f"{n:02}" / f"{n:064}.jpg"
        path.parent.mkdir(parents=True)
        path.write_bytes(b"x")
        if n < known:
            HeldPicture.objects.create(sha256=f"{n:064}", holder="s", **facts)
    CatalogueId.objects.create(pk=1, value=A)
    found = identity.pairing(tmp_path, None)
    assert found.knows_files is enough
    assert (found.objection is None) is enough


@pytest.fixture
def picture(tmp_path):
    """A folder with one original."""
    path = tmp_path / "files" / "originals" / "ab" / "abab.jpg"
    path.parent.mkdir(parents=True)
    path.write_bytes(b"jpeg")
    return path


def test_what_can_be_made_again_is_nothing_to_lose(tmp_path):
    assert not identity.has_files(tmp_path)
    for room in ("sizes/ab", "arriving"):
        (tmp_path / "files" / room).mkdir(parents=True)
        (tmp_path / "files" / room / "x").write_bytes(b"x")
    (tmp_path / "files" / "originals").mkdir()
    (tmp_path / "files" / "originals.txt").write_bytes(b"a line")
    assert not identity.has_files(tmp_path)


@pytest.mark.parametrize("room", ["originals/ab", "permissions", "set-aside/2026-11-28"])
def test_originals_papers_and_what_was_set_aside_count(tmp_path, room):
    (tmp_path / "files" / room).mkdir(parents=True)
    (tmp_path / "files" / room / "x").write_bytes(b"x")
    assert identity.has_files(tmp_path)


def test_a_folder_without_its_database_file_is_refused_and_nothing_is_touched(tmp_path, picture):
    with pytest.raises(StartRefused) as said:
        identity.check(tmp_path, tmp_path / "catalogue.sqlite3", adopt=False)
    assert "was not opened, because the database is missing or empty" in str(said.value)
    assert "start --adopt" in str(said.value) and "\n" not in str(said.value)
    assert picture.read_bytes() == b"jpeg" and not (tmp_path / "catalogue.sqlite3").exists()


@pytest.mark.django_db
def test_a_pair_from_before_the_id_gets_one_and_is_known_from_then_on(tmp_path, picture):
    find()
    CatalogueId.objects.all().delete()
    identity.check(tmp_path, None, adopt=False)
    identity.settle(tmp_path)
    value = CatalogueId.objects.get().value
    assert identity.read_id(tmp_path / identity.ID_FILE) == value
    assert (tmp_path / identity.ID_FILE).stat().st_mode & 0o777 == 0o600
    assert not (tmp_path / identity.WAITING_FILE).exists()
    identity.check(tmp_path, None, adopt=False)
    identity.settle(tmp_path)
    assert CatalogueId.objects.get().value == value
    CatalogueId.objects.update(value=B)
    with pytest.raises(StartRefused, match="belongs to another folder"):
        identity.check(tmp_path, None, adopt=False)


@pytest.mark.django_db
def test_a_crash_between_the_two_halves_leaves_no_strangers(tmp_path, picture, monkeypatch):
    find()

    def crash(*args):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr(identity.os, "replace", crash)
        identity.settle(tmp_path)
    assert CatalogueId.objects.exists() and not (tmp_path / identity.ID_FILE).exists()
    identity.check(tmp_path, None, adopt=False)
    identity.settle(tmp_path)
    assert identity.read_id(tmp_path / identity.ID_FILE) == CatalogueId.objects.get().value


@pytest.mark.django_db
def test_another_database_is_adopted_after_asking_and_only_then(tmp_path, picture, monkeypatch, capsys):
    find()
    (tmp_path / identity.ID_FILE).write_text(f"{B}\n")
    CatalogueId.objects.create(pk=1, value=A)
    for answer in ("", "no\n", "\n", "what?\n"):
        monkeypatch.setattr("sys.stdin", io.StringIO(answer))
        with pytest.raises(StartRefused, match="nothing was changed"):
            identity.check(tmp_path, None, adopt=True)
    assert identity.read_id(tmp_path / identity.ID_FILE) == B
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    identity.check(tmp_path, None, adopt=True)
    assert "the database belongs to another folder" in capsys.readouterr().out
    identity.settle(tmp_path)
    assert identity.read_id(tmp_path / identity.ID_FILE) == A
    assert picture.exists()


@pytest.mark.django_db
def test_a_strange_database_can_not_be_adopted(tmp_path, monkeypatch):
    monkeypatch.setattr(identity, "_contents", lambda: DatabaseContents.STRANGE)
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    with pytest.raises(StartRefused, match="not a catalogue of this program") as said:
        identity.check(tmp_path, None, adopt=True)
    assert "--adopt" not in str(said.value)


@pytest.mark.django_db
def test_what_a_database_holds_is_told_by_its_tables_and_rows(monkeypatch):
    assert identity._contents() is DatabaseContents.NO_ROWS
    find()
    assert identity._contents() is DatabaseContents.ROWS
    for tables, expected in (([], DatabaseContents.NOTHING), (["bottle"], DatabaseContents.STRANGE)):
        monkeypatch.setattr(identity.connection.introspection, "table_names", lambda found=tables: found)
        assert identity._contents() is expected
