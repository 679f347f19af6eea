"""Safekeeping's backups: a folder chosen once, one made, watched, stopped; one to a file; what Home says."""

import threading
from datetime import timedelta
from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone

from catalogue.exchange.backup import running
from catalogue.exchange.backup.copying import BackupError
from catalogue.exchange.models import BackupPlan, BackupRun
from catalogue.pages.home.to_do import to_do
from tests.exchange.conftest import fill
from tests.posted import post_form

SAFEKEEPING = "/safekeeping/"


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    """What would run in a thread of its own runs before the answer; nothing runs at first."""
    monkeypatch.setattr(running, "_current", None)
    begun = []

    def begin(name, work):
        begun.append(name)
        return running.run_here(name, work, threading.Event())

    monkeypatch.setattr(running, "begin", begin)
    return begun


@pytest.fixture
def stick(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("stick")


def chosen(stick: Path, **given) -> BackupPlan:
    plan = BackupPlan(pk=1, place=str(stick), **given)
    plan.save()
    return plan


def test_until_a_folder_is_chosen_safekeeping_and_home_ask(owner_client, db):
    page = owner_client.get(SAFEKEEPING).content.decode()
    assert "There is no backup yet. If this disk dies, everything is gone." in page
    assert any("choose a disk for it" in line.words for line in to_do(undated=0))


def test_the_demo_asks_for_none(db, settings):
    settings.DEMO = True
    assert not any("backup" in line.words for line in to_do(undated=0))


@pytest.mark.django_db(transaction=True)
def test_choosing_a_folder_makes_the_first_backup(owner_client, data_folder, stick):
    fill()
    answer = post_form(owner_client, reverse("safekeeping:place"), {"place": str(stick), "keep_days": "7"})
    assert answer.status_code == 302
    run = BackupRun.objects.get()
    assert run.kind == BackupRun.Kind.DAY and Path(run.place).is_dir()
    page = owner_client.get(SAFEKEEPING).content.decode()
    assert "read back whole" in page and "1 of at most 7" in page
    assert not any("backup" in line.words for line in to_do(undated=0))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("stick", "Write the whole way"),
        ("/no/such/folder", "no such folder on this machine just now"),
        ("", "This field is required"),
        ("x" * 2000, "900 go in"),
    ],
)
def test_a_folder_that_can_not_be_used_is_said_by_its_field_and_kept(owner_client, db, typed, said):
    answer = post_form(owner_client, reverse("safekeeping:place"), {"place": typed, "keep_days": "7"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page and (typed in page)
    assert not BackupPlan.objects.exists()


def test_a_disk_pulled_out_is_said_on_both(owner_client, db, stick):
    chosen(stick / "gone")
    assert "The folder of backups is not there" in owner_client.get(SAFEKEEPING).content.decode()
    assert any("The disk of the backups is not there" in line.words for line in to_do(undated=0))


def test_an_old_backup_is_said_also_one_from_a_clock_that_stood_wrong(owner_client, db, stick):
    chosen(stick)
    run = BackupRun.objects.create(place="x", kind=BackupRun.Kind.DAY, files=1, bytes=1)
    for wrong in (timedelta(days=-9), timedelta(days=400)):
        BackupRun.objects.filter(pk=run.pk).update(at=timezone.now() + wrong)
        assert "The last good backup is old" in owner_client.get(SAFEKEEPING).content.decode()
        assert any("no good backup for a week" in line.words for line in to_do(undated=0))


def test_damage_found_in_the_backups_is_urgent(db, stick):
    chosen(stick, found_amiss="In the backups 1 files are missing and 0 damaged (first: x).")
    line = next(line for line in to_do(undated=0) if "Backups are damaged" in line.words)
    assert line.urgent


@pytest.mark.django_db(transaction=True)
def test_one_file_is_written_where_it_was_said(owner_client, data_folder, stick):
    fill()
    target = stick / "bottles.zip"
    address = reverse("safekeeping:one_file")
    assert post_form(owner_client, address, {"file": str(target), "password": ""}).status_code == 302
    assert target.is_file()
    assert "A backup of 2 finds is whole" in owner_client.get(SAFEKEEPING).content.decode()
    again = post_form(owner_client, address, {"file": str(target), "password": ""})
    assert again.status_code == 422 and "There is such a file already" in again.content.decode()


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"file": "b.zip"}, "Write the whole way"),
        ({"file": "/tmp/b.txt"}, "End the name with .zip"),
        ({"file": "/no/where/b.zip"}, "There is no folder /no/where"),
        ({"file": "/tmp/x.zip", "password": "short", "once_more": "short"}, "at least 10 signs"),
        ({"file": "/tmp/x.zip", "password": "long enough words", "once_more": "others"}, "not the same"),
    ],
)
def test_a_mistake_in_the_form_begins_nothing(owner_client, db, at_once, given, said):
    answer = post_form(owner_client, reverse("safekeeping:one_file"), given)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert at_once == []


def test_a_password_is_never_shown_again(owner_client, db):
    given = {"file": "b.zip", "password": "kelp and cork", "once_more": "kelp and cork"}
    answer = post_form(owner_client, reverse("safekeeping:one_file"), given)
    assert "kelp and cork" not in answer.content.decode()


def test_what_fails_is_said_in_its_own_words(owner_client, db, stick):
    def fails(progress, stop):
        raise BackupError("The disk is full.")

    running.run_here("Today's backup", fails, threading.Event())
    assert "The disk is full." in owner_client.get(reverse("safekeeping:task")).content.decode()


def test_a_second_one_is_refused_while_one_runs(owner_client, db, monkeypatch):
    monkeypatch.setattr(running, "begin", lambda name, work: None)
    answer = owner_client.post(reverse("safekeeping:back_up_now"), follow=True)
    assert "Something runs already" in answer.content.decode()


def test_one_that_runs_shows_its_progress_and_can_be_stopped(owner_client, db, monkeypatch):
    task = running.Task("Today's backup", done=3, total=4)
    monkeypatch.setattr(running, "_current", task)
    part = owner_client.get(reverse("safekeeping:task")).content.decode()
    assert "75 %" in part and "every 2s" in part
    owner_client.post(reverse("safekeeping:stop"))
    assert task.stop.is_set()


@pytest.mark.django_db(transaction=True)
def test_the_look_through_reads_every_byte_and_notes_what_it_found(owner_client, data_folder, stick):
    fill()
    chosen(stick)
    owner_client.post(reverse("safekeeping:back_up_now"))
    owner_client.post(reverse("safekeeping:look_through"))
    plan = BackupPlan.current()
    assert plan.looked_through_at and not plan.found_amiss
    original = next((stick / "siltmark-backups" / "store" / "originals").rglob("*.jpg"))
    original.write_bytes(b"x" * original.stat().st_size)
    owner_client.post(reverse("safekeeping:look_through"))
    assert "0 files are missing and 1 damaged" in owner_client.get(SAFEKEEPING).content.decode()


@pytest.mark.parametrize("name", ["place", "one_file", "task", "restore"])
def test_a_visitor_comes_nowhere_near(client, db, name):
    assert client.get(reverse(f"safekeeping:{name}")).status_code in (302, 403)


@pytest.mark.parametrize(
    ("page", "anew"),
    [
        ("/safekeeping/", True),
        ("/safekeeping/take-in/7/rows/?runs=1", True),
        ("/safekeeping/restore/", False),
    ],
)
def test_a_page_that_tells_what_stands_is_asked_for_anew_at_the_end(owner_client, monkeypatch, page, anew):
    """Else "there is no backup yet" stood beside the one just made; a page with fields keeps them."""
    task = running.Task("Today's backup", done=3, total=4)
    monkeypatch.setattr(running, "_current", task)
    asked = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{page}"}
    answer = owner_client.get(reverse("safekeeping:task"), headers=asked)
    assert "HX-Refresh" not in answer and "75 %" in answer.content.decode()
    task.ended, task.said = True, "It is whole."
    answer = owner_client.get(reverse("safekeeping:task"), headers=asked)
    assert (answer.get("HX-Refresh") == "true") is anew
    assert anew or "It is whole." in answer.content.decode()
    lost = owner_client.get(
        reverse("safekeeping:task"), headers=asked | {"HX-Current-URL": "http://testserver/nowhere/at/all"}
    )
    assert "HX-Refresh" not in lost
