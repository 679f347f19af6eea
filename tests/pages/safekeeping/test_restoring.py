"""Restoring from the browser: checked whole, waiting for the next start, given up; what is here stays."""

import shutil
import threading
from pathlib import Path

import pytest
from django.db import connection
from django.urls import reverse

from catalogue.access.startup import migration_backup, restore_swap
from catalogue.exchange.backup import running
from catalogue.exchange.backup.archive import write_backup
from catalogue.exchange.models import BackupPlan
from tests.exchange.conftest import fill
from tests.posted import post_form

RESTORE = "/safekeeping/restore/"
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    monkeypatch.setattr(running, "_current", None)
    monkeypatch.setattr(running, "begin", lambda name, work: running.run_here(name, work, threading.Event()))


@pytest.fixture
def backup(data_folder, tmp_path_factory) -> Path:
    fill()
    target = tmp_path_factory.mktemp("stick") / "b.zip"
    write_backup(target)
    return target


def test_a_whole_one_waits_for_the_next_start_and_says_what_it_holds(owner_client, backup, data_folder):
    assert post_form(owner_client, RESTORE, {"file": str(backup)}).status_code == 302
    assert restore_swap.is_ready(data_folder)
    page = owner_client.get(RESTORE).content.decode()
    assert "2 finds, 2 pictures" in page and "every file is whole" in page
    assert "Waiting for the next start" in page


def test_it_is_given_up_by_a_press(owner_client, backup, data_folder):
    post_form(owner_client, RESTORE, {"file": str(backup)})
    owner_client.post(reverse("safekeeping:give_up"))
    assert not restore_swap.is_ready(data_folder)
    assert "Waiting for the next start" not in owner_client.get(RESTORE).content.decode()


def test_a_damaged_one_is_refused_with_the_reason(owner_client, backup, data_folder):
    backup.write_bytes(backup.read_bytes()[:-100])
    post_form(owner_client, RESTORE, {"file": str(backup)})
    page = owner_client.get(RESTORE).content.decode()
    assert "b.zip was not restored" in page and "Nothing was changed." in page
    assert not restore_swap.is_ready(data_folder)


@pytest.mark.parametrize("typed", ["", "b.zip", "/no/such/file.zip", "x" * 5000])
def test_what_is_not_there_is_said_by_its_field(owner_client, data_folder, typed):
    answer = post_form(owner_client, RESTORE, {"file": typed})
    assert answer.status_code == 422
    assert not (data_folder / "restored").exists()


def test_days_in_the_folder_of_backups_are_offered(owner_client, backup, tmp_path_factory):
    stick = tmp_path_factory.mktemp("days")
    BackupPlan(pk=1, place=str(stick)).save()
    owner_client.post(reverse("safekeeping:back_up_now"))
    (day,) = (stick / "siltmark-backups" / "days").iterdir()
    page = owner_client.get(RESTORE).content.decode()
    assert day.name in page
    filled = owner_client.get(RESTORE, {"file": str(day)}).content.decode()
    assert f'value="{day}"' in filled
    assert post_form(owner_client, RESTORE, {"file": str(day)}).status_code == 302


def test_a_copy_from_before_an_update_is_put_back_and_pictures_stay(owner_client, backup, data_folder):
    # Whichever engine keeps it.
    copy = migration_backup.secure(connection)
    try:
        page = owner_client.get(RESTORE).content.decode()
        assert copy.name in page
        post_form(owner_client, RESTORE, {"file": str(copy)})
    finally:
        shutil.rmtree(copy.parent)
    assert restore_swap.is_ready(data_folder)
    pictures = sorted(path.name for path in (data_folder / "files").rglob("*.jpg"))
    restore_swap.swap(data_folder, data_folder / "catalogue.sqlite3")
    assert sorted(path.name for path in (data_folder / "files").rglob("*.jpg")) == pictures


def test_how_another_work_ended_is_not_told_there(owner_client, monkeypatch):
    task = running.Task("Today's backup", said="A backup of 3 finds is whole.", ended=True)
    monkeypatch.setattr(running, "_current", task)
    page = reverse("safekeeping:restore")
    assert task.said not in owner_client.get(page).content.decode()
    task.ended = False
    assert "Today&#x27;s backup" in owner_client.get(page).content.decode()
