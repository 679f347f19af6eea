"""The folder of the catalogue."""

import os
from pathlib import Path

import pytest

from catalogue.access.startup import StartRefused, folder


def test_it_is_made_for_its_owner_alone(tmp_path):
    made = tmp_path / "deep" / "catalogue"
    folder.make(made)
    assert made.is_dir()
    if os.name == "posix":
        assert made.stat().st_mode & 0o777 == 0o700
    assert list(made.iterdir()) == []


def test_one_that_is_there_keeps_its_rights_and_content(tmp_path):
    tmp_path.chmod(0o750)
    (tmp_path / "mine").write_text("kept")
    folder.make(tmp_path)
    assert tmp_path.stat().st_mode & 0o777 == 0o750
    assert (tmp_path / "mine").read_text() == "kept"


@pytest.mark.parametrize("below", ["", "below", "far/below"])
def test_a_file_in_its_place_is_said(tmp_path, below):
    (tmp_path / "file").write_text("")
    with pytest.raises(StartRefused, match="there is a file of that name"):
        folder.make(tmp_path / "file" / below)


def test_one_that_can_not_be_written_is_said():
    with pytest.raises(StartRefused, match="can't be written"):
        folder.make(Path("/proc/catalogue"))


@pytest.mark.parametrize(("free", "warned"), [(20, True), (199, True), (200, False), (5000, False)])
def test_short_room_is_said_and_enough_is_not(tmp_path, monkeypatch, free, warned):
    monkeypatch.setattr(folder, "room_mb", lambda path: free)
    assert bool(folder.check_room(tmp_path)) is warned


def test_no_room_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(folder, "room_mb", lambda path: 19)
    with pytest.raises(StartRefused, match="19 MB left"):
        folder.check_room(tmp_path)


def test_room_is_what_the_system_says(tmp_path):
    kept = os.statvfs(tmp_path)
    assert folder.room_mb(tmp_path) == pytest.approx(kept.f_bavail * kept.f_frsize / 1e6, abs=200)
