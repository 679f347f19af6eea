"""A new database made at once is the one that every step of the history would have made."""

import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

from catalogue.access.new_database import is_empty
from tests.running import PATIENCE_S, ROOT, surroundings

STEP_BY_STEP = """
import gc, os, django
gc.disable()  # a model as it was at each step is made anew; looking for what is gone costs two seconds
os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
django.setup()
from django.core.management import call_command
from django.core.management.commands.migrate import Command
call_command(Command(), verbosity=0, interactive=False)
"""


def made(folder: Path, *words: str) -> Path:
    """A catalogue's database, by a process of its own."""
    folder.mkdir()
    subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env=surroundings(folder, SILTMARK_DATA=str(folder)),
        check=True,
        timeout=PATIENCE_S,
    )
    return folder / "catalogue.sqlite3"


def shape(path: Path) -> dict[str, set]:
    """Each table's columns, references and rules, each index, and the steps written down."""
    with closing(sqlite3.connect(path)) as direct:
        found: dict[str, set] = {}
        for name, sql in direct.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'table'"
        ).fetchall():
            columns = {tuple(row[1:]) for row in direct.execute(f'PRAGMA table_info("{name}")')}
            references = {("to", *row[2:]) for row in direct.execute(f'PRAGMA foreign_key_list("{name}")')}
            rules = set(re.findall(r'CONSTRAINT "[^"]+" (?:CHECK|UNIQUE) ', sql))
            found[name] = columns | references | rules | {("checks", sql.count("CHECK "))}
        indexes = "SELECT name, sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
        found["indexes"] = set(direct.execute(indexes).fetchall())
        found["steps"] = set(direct.execute("SELECT app, name FROM django_migrations").fetchall())
        found["makers"] = set(direct.execute("SELECT name, slug FROM specimens_maker").fetchall())
        return found


def test_it_is_what_all_the_steps_make(tmp_path):
    at_once = shape(made(tmp_path / "new", "manage.py", "migrate", "-v0"))
    by_steps = shape(made(tmp_path / "old", "-c", STEP_BY_STEP))
    assert at_once.keys() == by_steps.keys()
    for name, parts in by_steps.items():
        assert at_once[name] == parts, name
    assert len(at_once["indexes"]) > 50 and len(at_once["makers"]) > 100


@pytest.mark.django_db
def test_one_with_tables_is_not_taken_for_new():
    assert not is_empty(connection)


def test_a_crash_half_way_leaves_nothing(tmp_path):
    broken = (
        "import os, django\n"
        'os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"\n'
        "django.setup()\n"
        "from django.core.management import call_command\n"
        "from django.db.migrations.recorder import MigrationRecorder\n"
        "def fails(self): os._exit(9)\n"
        "MigrationRecorder.ensure_schema = fails\n"
        'call_command("migrate", verbosity=0)\n'
    )
    folder = tmp_path / "half"
    with pytest.raises(subprocess.CalledProcessError):
        made(folder, "-c", broken)
    with closing(sqlite3.connect(folder / "catalogue.sqlite3")) as direct:
        assert direct.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,)
    again = subprocess.run(
        [sys.executable, "manage.py", "migrate", "-v0"],
        cwd=ROOT,
        env=surroundings(folder, SILTMARK_DATA=str(folder)),
        timeout=PATIENCE_S,
    )
    assert again.returncode == 0
