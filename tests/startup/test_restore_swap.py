"""The swap of a restored catalogue: broken off after every step, and gone on with at the next start."""

from pathlib import Path

import pytest

from catalogue.access.startup import StartRefused, restore_swap


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with an old catalogue, and a new one that waits."""
    place = tmp_path / "data"
    (place / "files" / "originals").mkdir(parents=True)
    (place / "files" / "originals" / "old.jpg").write_text("old")
    for name in ("catalogue.sqlite3", "catalogue.sqlite3-wal", "catalogue.sqlite3-shm", "catalogue.id"):
        (place / name).write_text("old")
    (place / "catalogue.left").write_text("old")
    (place / "secret").write_text("kept")
    restore_swap.clear(place)
    fresh = restore_swap.waiting_room(place)
    (fresh / "catalogue.sqlite3").write_text("new")
    (fresh / "files" / "originals").mkdir(parents=True)
    (fresh / "files" / "originals" / "new.jpg").write_text("new")
    restore_swap.make_ready(place, "a" * 32)
    return place


def swapped_in(place: Path) -> bool:
    return (
        (place / "catalogue.sqlite3").read_text() == "new"
        and (place / "catalogue.id").read_text() == f"{'a' * 32}\n"
        and [path.name for path in (place / "files" / "originals").iterdir()] == ["new.jpg"]
        and not (place / "catalogue.sqlite3-wal").exists()
        and not (place / "catalogue.left").exists()
        and (place / "secret").read_text() == "kept"
        and not restore_swap.waiting_room(place).exists()
    )


def old_is_kept(place: Path) -> bool:
    (kept,) = place.glob("before-restore-*")
    return {path.name for path in kept.iterdir()} == {
        "catalogue.sqlite3",
        "catalogue.sqlite3-wal",
        "catalogue.sqlite3-shm",
        "catalogue.id",
        "files",
    } and (kept / "files" / "originals" / "old.jpg").read_text() == "old"


def test_new_in_its_place_and_old_beside_it(folder):
    kept = restore_swap.swap(folder, folder / "catalogue.sqlite3")
    assert kept.name.startswith("before-restore-")
    assert swapped_in(folder) and old_is_kept(folder)


def test_broken_off_after_each_step_the_next_start_goes_on(folder, monkeypatch, tmp_path):
    """As a power cut would: after the first move, the second, and so on."""
    import shutil

    moves, honest = 0, restore_swap._move

    class PowerCut(BaseException):
        pass

    def count(source, target):
        nonlocal moves
        moves += 1
        honest(source, target)

    whole = tmp_path / "whole"
    shutil.copytree(folder, whole)
    monkeypatch.setattr(restore_swap, "_move", count)
    restore_swap.swap(whole, whole / "catalogue.sqlite3")
    assert moves == 8
    for step in range(moves):
        place = tmp_path / f"cut{step}"
        shutil.copytree(folder, place)
        left = step

        def cut(source, target):
            nonlocal left
            if left == 0:
                raise PowerCut
            left -= 1
            honest(source, target)

        monkeypatch.setattr(restore_swap, "_move", cut)
        with pytest.raises(PowerCut):
            restore_swap.swap(place, place / "catalogue.sqlite3")
        monkeypatch.setattr(restore_swap, "_move", honest)
        restore_swap.swap(place, place / "catalogue.sqlite3")
        assert swapped_in(place) and old_is_kept(place), step


def test_where_nothing_waits_nothing_is_done(tmp_path):
    assert restore_swap.swap(tmp_path, tmp_path / "catalogue.sqlite3") is None
    assert list(tmp_path.iterdir()) == []


def test_a_half_unpacked_one_is_never_swapped_in(tmp_path):
    restore_swap.clear(tmp_path)
    (restore_swap.waiting_room(tmp_path) / "catalogue.sqlite3").write_text("half")
    assert restore_swap.swap(tmp_path, tmp_path / "catalogue.sqlite3") is None


def test_what_waits_can_be_given_up(folder):
    assert restore_swap.give_up(folder) is True
    assert (folder / "catalogue.sqlite3").read_text() == "old"
    assert not restore_swap.waiting_room(folder).exists()
    assert restore_swap.give_up(folder) is False


def test_an_empty_folder_takes_it_and_keeps_nothing(tmp_path):
    restore_swap.clear(tmp_path)
    (restore_swap.waiting_room(tmp_path) / "catalogue.sqlite3").write_text("new")
    restore_swap.make_ready(tmp_path, "")
    restore_swap.swap(tmp_path, tmp_path / "catalogue.sqlite3")
    assert not list(tmp_path.glob("before-restore-*"))
    assert (tmp_path / "catalogue.sqlite3").read_text() == "new"


def test_a_list_that_names_a_place_outside_moves_nothing(folder):
    (folder / "restored.ready").write_text('{"keep": "../elsewhere"}')
    with pytest.raises(StartRefused, match="nothing is lost"):
        restore_swap.swap(folder, folder / "catalogue.sqlite3")
    assert (folder / "catalogue.sqlite3").read_text() == "old"


def test_a_second_restore_of_the_same_day_keeps_both(folder):
    restore_swap.swap(folder, folder / "catalogue.sqlite3")
    restore_swap.clear(folder)
    (restore_swap.waiting_room(folder) / "catalogue.sqlite3").write_text("third")
    restore_swap.make_ready(folder, "")
    restore_swap.swap(folder, folder / "catalogue.sqlite3")
    assert len(list(folder.glob("before-restore-*"))) == 2
