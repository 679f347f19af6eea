"""A folder or zip of pages is there whole or not at all, and takes the place of nothing but its like."""

import errno
import json
import zipfile
from pathlib import Path

import pytest

from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.public_pages.target import (
    EARLIER,
    PAGES_LIST,
    UNFINISHED,
    pages_written_to,
    why_refused,
)


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path_factory):
    settings.DATA_DIR = tmp_path_factory.mktemp("catalogue")


def write(target: Path, **files: str) -> None:
    with pages_written_to(target) as written:
        for name, text in files.items():
            written.write(f"{name}.html", text.encode())


def beside(target: Path) -> list[str]:
    return sorted(path.name for path in target.parent.iterdir())


@pytest.mark.parametrize("name", ["pages", "pages.zip"])
def test_whole_pages_take_the_place_of_earlier_ones(tmp_path, name):
    target = tmp_path / name
    write(target, index="first", old="gone later")
    write(target, index="second")
    if target.is_dir():
        read = {path.name: path.read_text() for path in target.iterdir()}
    else:
        with zipfile.ZipFile(target) as archive:
            read = {each.rpartition("/")[2]: archive.read(each).decode() for each in archive.namelist()}
    assert read.pop(PAGES_LIST) and read == {"index.html": "second"}
    assert beside(target) == [name]


@pytest.mark.parametrize("name", ["pages", "pages.zip"])
def test_what_ends_in_the_middle_leaves_the_earlier_pages(tmp_path, name):
    target = tmp_path / name
    write(target, index="first")
    before = target.stat().st_mtime_ns
    with pytest.raises(WorkRefused, match="stopped"), pages_written_to(target) as written:
        written.write("index.html", b"second")
        raise WorkRefused("stopped")
    assert beside(target) == [name] and target.stat().st_mtime_ns == before


@pytest.mark.parametrize("name", ["pages", "pages.zip"])
def test_a_full_disk_is_said_and_nothing_is_left(tmp_path, name, monkeypatch):
    target = tmp_path / name
    with (
        pytest.raises(WorkRefused, match="no space left on device.*nothing of them is left"),
        pages_written_to(target) as written,
    ):
        written.write("index.html", b"x")
        monkeypatch.setattr(
            type(written),
            "_write",
            lambda *_: (_ for _ in ()).throw(OSError(errno.ENOSPC, "No space left on device")),
        )
        written.write("more.html", b"x")
    assert beside(target) == []


def test_a_folder_with_other_things_is_refused(tmp_path):
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "holiday.jpg").write_bytes(b"x")
    assert "holds no pages made here" in why_refused(photos)
    with pytest.raises(WorkRefused):
        write(photos, index="x")
    assert beside(photos) == ["photos"] and (photos / "holiday.jpg").exists()


def test_pages_of_ours_with_something_beside_them_are_refused(tmp_path):
    target = tmp_path / "pages"
    write(target, index="first")
    (target / ".DS_Store").write_bytes(b"x")
    assert why_refused(target) == ""
    (target / "letters").mkdir()
    (target / "letters" / "a.txt").write_text("x")
    assert "letters/a.txt" in why_refused(target)


def test_an_empty_folder_may_be_used(tmp_path):
    target = tmp_path / "pages"
    target.mkdir()
    write(target, index="x")
    assert (target / "index.html").read_text() == "x"


def test_a_zip_that_is_not_ours_is_refused(tmp_path):
    other, broken = tmp_path / "other.zip", tmp_path / "broken.zip"
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("letters.txt", "x")
    broken.write_bytes(b"no zip")
    assert "holds no pages made here" in why_refused(other)
    assert "holds no pages made here" in why_refused(broken)


def test_what_can_not_be_a_target_is_said(tmp_path, settings):
    file = tmp_path / "file"
    file.write_text("x")
    folder = tmp_path / "folder.zip"
    folder.mkdir()
    own = Path(settings.DATA_DIR)
    said = {
        Path("pages"): "Write the whole way",
        tmp_path / "none" / "pages": "There is no folder",
        file: "is a file",
        folder: "is a folder",
        own / "pages": "within the catalogue's own folder",
        own: "within the catalogue's own folder",
        own.parent: "around it",
        Path("/"): "Name a folder",
    }
    assert {target: said[target] in why_refused(target) for target in said} == dict.fromkeys(said, True)


def test_a_run_that_was_cut_off_is_put_in_order_by_the_next(tmp_path):
    """Killed between moving the earlier folder aside and giving the new one its name."""
    target = tmp_path / "pages"
    write(target, index="first")
    target.rename(tmp_path / f"pages{EARLIER}")
    left = tmp_path / f"pages{UNFINISHED}"
    left.mkdir()
    (left / PAGES_LIST).write_text(json.dumps({"files": []}))
    with pytest.raises(WorkRefused), pages_written_to(target):
        assert (target / "index.html").read_text() == "first"
        raise WorkRefused("stopped")
    assert beside(target) == ["pages"]


def test_what_somebody_else_called_so_is_not_taken_away(tmp_path):
    other = tmp_path / f"pages{UNFINISHED}"
    other.mkdir()
    (other / "a.txt").write_text("x")
    with pytest.raises(WorkRefused, match="in the way"):
        write(tmp_path / "pages", index="x")
    assert (other / "a.txt").exists()


@pytest.mark.parametrize("name", ["../x.html", "/x.html", "a/../../x.html"])
def test_no_file_is_written_outside(tmp_path, name):
    with pytest.raises(ValueError, match="leads out"), pages_written_to(tmp_path / "pages") as written:
        written.write(name, b"x")
    assert beside(tmp_path / "pages") == []
