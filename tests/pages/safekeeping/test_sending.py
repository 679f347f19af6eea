"""A backup sent by the browser in parts: room asked first, whole or nothing, then restored as any."""

import re
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.access.startup import restore_swap
from catalogue.access.startup.folder import INCOMING
from catalogue.exchange.backup import locked, running, sent
from tests.pages.safekeeping.test_restoring import RESTORE, at_once, backup, post_form

pytestmark = pytest.mark.django_db
# A backup is read by connections of its own.
on_disk = pytest.mark.django_db(transaction=True)
SEND = "/safekeeping/restore/send/"
__all__ = ["at_once", "backup"]


@pytest.fixture(autouse=True)
def small_parts(monkeypatch):
    monkeypatch.setattr(sent, "PART_BYTES", 4096)


def left(data_folder: Path) -> list[str]:
    """What lies where a backup arrives."""
    return sorted(path.name for path in (data_folder / INCOMING).rglob("*"))


def send(client, content: bytes, *, until: int | None = None) -> dict:
    """Send it as the script does; the last answer."""
    answer = client.post(SEND, {"bytes": len(content)}).json()
    while not answer["path"] and (until is None or answer["at"] < until):
        part = content[answer["at"] : answer["at"] + 4096]
        answer = client.generic(
            "POST", f"{answer['send']}?at={answer['at']}", part, "application/octet-stream"
        ).json()
    return answer


@on_disk
def test_a_backup_that_was_sent_is_restored_and_taken_away(owner_client, backup, data_folder):
    content = backup.read_bytes()
    answer = send(owner_client, content)
    assert Path(answer["path"]).read_bytes() == content
    assert post_form(owner_client, RESTORE, {"file": answer["path"]}).status_code == 302
    assert restore_swap.is_ready(data_folder)
    assert "2 finds, 2 pictures" in owner_client.get(RESTORE).content.decode()
    assert left(data_folder) == []


def test_a_part_is_not_written_twice_and_one_out_of_step_is_told_where_to_go_on(owner_client, data_folder):
    content = b"PK" + bytes(9000)
    answer = owner_client.post(SEND, {"bytes": len(content)}).json()

    def part(at: int):
        said = owner_client.generic(
            "POST", f"{answer['send']}?at={at}", content[at : at + 4096], "application/octet-stream"
        )
        return said.status_code, said.json()["at"]

    assert part(0) == (200, 4096)
    assert part(0) == (409, 4096)
    assert part(8192) == (409, 4096)
    assert part(4096) == (200, 8192)
    assert part(8192) == (200, 9002)
    assert part(0) == (409, 9002)


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"no zip" * 100, "not a zip"), (b"PK" + bytes(9000), "More arrived than was said")],
)
def test_what_is_no_backup_or_too_long_leaves_nothing(owner_client, data_folder, content, words):
    answer = owner_client.post(SEND, {"bytes": 600}).json()
    said = owner_client.generic("POST", f"{answer['send']}?at=0", content, "application/octet-stream")
    assert said.status_code == 422 and words in said.json()["error"]
    assert left(data_folder) == []


@pytest.mark.parametrize("length", ["0", "-1", "", "x", "9" * 15, "9" * 30])
def test_room_is_asked_before_anything_is_sent(owner_client, data_folder, length):
    said = owner_client.post(SEND, {"bytes": length})
    assert said.status_code == 422 and said.json()["error"].endswith(".")
    assert left(data_folder) == []


def test_the_sentence_about_room_says_both_figures(owner_client, data_folder, monkeypatch):
    monkeypatch.setattr(sent, "free_bytes", lambda folder: 30_000_000)
    said = owner_client.post(SEND, {"bytes": 10_000_000})
    assert "has 30 MB left, and this needs 40 MB" in said.json()["error"]


def test_a_full_disk_leaves_nothing(owner_client, data_folder, monkeypatch):
    answer = owner_client.post(SEND, {"bytes": 8000}).json()

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(sent.os, "fsync", full)
    part = b"PK" + bytes(4000)
    said = owner_client.generic("POST", f"{answer['send']}?at=0", part, "application/octet-stream")
    assert said.status_code == 422 and "no space left" in said.json()["error"]
    assert left(data_folder) == []


def test_what_was_cut_off_is_swept(owner_client, data_folder):
    send(owner_client, b"PK" + bytes(9000), until=4096)
    (part,) = (data_folder / INCOMING).rglob(sent.PART_FILE)
    now = part.stat().st_mtime
    sent.sweep_sent(now + sent.PART_FORGOTTEN_S - 1)
    assert part.exists()
    sent.sweep_sent(now + sent.PART_FORGOTTEN_S + 1)
    assert left(data_folder) == []


def test_a_page_that_is_left_takes_back_what_it_sent(owner_client, data_folder):
    answer = send(owner_client, b"PK" + bytes(9000), until=4096)
    assert owner_client.post(answer["drop"]).json() == {"gone": True}
    assert left(data_folder) == []
    assert owner_client.post(answer["drop"]).json() == {"gone": False}
    assert "choose the file again" in owner_client.post(f"{answer['send']}?at=4096").json()["error"]


def test_the_next_one_takes_the_place_of_the_first(owner_client, data_folder):
    first = send(owner_client, b"PK" + bytes(9000), until=4096)
    send(owner_client, b"PK" + bytes(9000), until=4096)
    assert len(list((data_folder / INCOMING).glob("sent-*"))) == 1
    assert owner_client.post(f"{first['send']}?at=4096").status_code == 422


@on_disk
def test_a_damaged_one_is_refused_and_taken_away(owner_client, backup, data_folder):
    answer = send(owner_client, backup.read_bytes()[:-100])
    post_form(owner_client, RESTORE, {"file": answer["path"]})
    assert "was not restored" in owner_client.get(RESTORE).content.decode()
    assert left(data_folder) == [] and not restore_swap.is_ready(data_folder)


@on_disk
def test_one_under_a_password_waits_for_it(owner_client, backup, data_folder, tmp_path_factory):
    target = tmp_path_factory.mktemp("locked") / "l.zip"
    locked.lock(backup, target, "kelp and lantern")
    answer = send(owner_client, target.read_bytes())
    post_form(owner_client, RESTORE, {"file": answer["path"]})
    page = owner_client.get(RESTORE).content.decode()
    assert "is under a password" in page and "Sent from a browser" in page
    post_form(owner_client, RESTORE, {"file": answer["path"], "password": "kelp and lantern"})
    assert restore_swap.is_ready(data_folder) and left(data_folder) == []


@on_disk
def test_without_script_it_comes_with_its_form(owner_client, backup, data_folder):
    file = SimpleUploadedFile("any name.zip", backup.read_bytes(), "application/zip")
    assert owner_client.post(RESTORE, {"file": "", "password": "", "sent": file}).status_code == 302
    assert restore_swap.is_ready(data_folder) and left(data_folder) == []


def test_without_script_what_is_no_zip_stands_by_its_field(owner_client, data_folder):
    file = SimpleUploadedFile("a.zip", b"nothing of the kind", "application/zip")
    said = owner_client.post(RESTORE, {"file": "", "password": "", "sent": file})
    assert said.status_code == 422 and "it is not a zip" in said.content.decode()
    assert left(data_folder) == []


def test_without_script_one_larger_than_all_files_may_be_says_what_to_do(owner_client, data_folder, settings):
    settings.UPLOAD_MAX_BYTES = 10
    file = SimpleUploadedFile("a.zip", b"PK" + bytes(100), "application/zip")
    said = owner_client.post(RESTORE, {"file": "", "password": "", "sent": file})
    assert said.status_code == 422 and "write where it lies" in re.sub(r"\s+", " ", said.content.decode())


@on_disk
def test_neither_or_both_is_said(owner_client, backup, data_folder):
    said = owner_client.post(RESTORE, {"file": "", "password": ""})
    assert said.status_code == 422 and "or choose one below" in said.content.decode()
    file = SimpleUploadedFile("a.zip", b"PK", "application/zip")
    said = owner_client.post(RESTORE, {"file": str(backup), "password": "", "sent": file})
    assert said.status_code == 422 and "Choose one of the two" in said.content.decode()
    assert not running.current()


@pytest.mark.parametrize("token", ["..", "sent", "0" * 31, "g" * 200])
def test_no_token_leads_out_of_the_room(token):
    assert sent.sent_backup(token) is None
    assert sent._place(token).parent.name == INCOMING
