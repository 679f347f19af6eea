"""`manage.py backup` and `restore` as a person types them, in processes of their own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run(*words: str, home: Path, typed: str = "") -> subprocess.CompletedProcess[str]:
    place = {"SILTMARK_DATA": str(home), "HOME": str(home.parent), "PATH": os.environ["PATH"]}
    kept = {name: value for name, value in os.environ.items() if name == "DATABASE_URL"}
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env={**kept, **place},
        input=typed,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


@pytest.fixture(scope="module")
def laptop(tmp_path_factory) -> Path:
    """A data folder with a new catalogue in it, and a backup beside it."""
    if os.environ.get("DATABASE_URL"):
        pytest.skip("processes of their own would share one server")
    home = tmp_path_factory.mktemp("laptop") / "data"
    home.mkdir()
    made = run("migrate", "-v", "0", home=home)
    assert made.returncode == 0, made.stderr
    said = run("backup", str(home.parent / "b.zip"), home=home)
    assert said.returncode == 0, said.stderr
    assert "0 finds, 0 pictures" in said.stdout and "read back and whole" in said.stdout
    return home


def test_after_the_laptop_died_the_backup_opens_on_a_new_one(laptop, tmp_path):
    new = tmp_path / "new"
    said = run("restore", str(laptop.parent / "b.zip"), "--data", str(new), home=laptop, typed="yes\n")
    assert said.returncode == 0, said.stderr
    assert "every file was compared with its digest" in said.stdout
    assert f"Restored to {new}." in said.stdout
    # As its first start does: the index of search is not in a backup.
    run("check_derived", "--all", "--mend", home=new)
    checked = run("check_derived", "--all", home=new)
    assert checked.returncode == 0, checked.stderr


def test_who_says_no_keeps_what_is_there(laptop):
    before = (laptop / "catalogue.sqlite3").read_bytes()
    said = run("restore", str(laptop.parent / "b.zip"), home=laptop, typed="no\n")
    assert said.returncode == 2
    assert "nothing was changed" in said.stderr
    assert (laptop / "catalogue.sqlite3").read_bytes() == before
    assert not (laptop / "restored").exists()


def test_what_was_there_before_is_kept(laptop, tmp_path):
    import shutil

    place = tmp_path / "copy"
    shutil.copytree(laptop, place)
    said = run("restore", str(laptop.parent / "b.zip"), "--yes", home=place)
    assert said.returncode == 0, said.stderr
    (kept,) = place.glob("before-restore-*")
    assert (kept / "catalogue.sqlite3").exists()


def test_a_damaged_one_is_refused_in_a_sentence(laptop, tmp_path):
    bad = tmp_path / "bad.zip"
    bad.write_bytes((laptop.parent / "b.zip").read_bytes()[:-30])
    said = run("restore", str(bad), "--yes", home=laptop)
    assert said.returncode == 2
    assert "bad.zip was not restored" in said.stderr and "Traceback" not in said.stderr


def test_a_backup_is_never_written_over(laptop):
    said = run("backup", str(laptop.parent / "b.zip"), home=laptop)
    assert said.returncode == 2
    assert "is there already" in said.stderr


def test_an_open_catalogue_is_not_restored_over(laptop):
    from catalogue.access.startup import lock

    handle = lock.take(laptop, "http://127.0.0.1:1/")
    try:
        said = run("restore", str(laptop.parent / "b.zip"), "--yes", home=laptop)
    finally:
        lock.let_go(handle)
    assert said.returncode == 2
    assert "is open already" in said.stderr
