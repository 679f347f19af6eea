"""`manage.py start` as a person runs it: a process of its own, on real folders and ports."""

import signal
import socket
import sqlite3
import subprocess
import time
import urllib.request
from contextlib import closing
from http.cookiejar import CookieJar
from pathlib import Path

import pytest

from tests.running import Running, command, free_port, refusal, start, surroundings


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A catalogue that is open."""
    home = tmp_path_factory.mktemp("home")
    running = start(home, "--data", str(home / "catalogue"))
    yield running, home / "catalogue"
    running.stop()


@pytest.fixture
def started(tmp_path):
    """Start in this test's folder; whatever a failing test leaves running is ended."""
    running = []

    def begin(*words: str) -> Running:
        running.append(start(tmp_path, *words))
        return running[-1]

    yield begin
    for each in running:
        each.stop(signal.SIGKILL)


def assert_refused(ended: tuple[int, str, str], said: str) -> None:
    code, output, error = ended
    assert code == 2
    assert output == ""
    assert said in error
    assert error.count("\n") == 1 and "Traceback" not in error


def test_a_file_in_place_of_the_folder(tmp_path):
    (tmp_path / "file").write_text("")
    assert_refused(refusal(tmp_path, "--data", str(tmp_path / "file")), "there is a file of that name")


def test_a_folder_that_can_not_be_written(tmp_path):
    assert_refused(refusal(tmp_path, "--data", "/proc/catalogue"), "can't be written")


def test_the_folder_named_in_the_environment_is_used(tmp_path):
    assert_refused(refusal(tmp_path, SILTMARK_DATA="/proc/catalogue"), "/proc/catalogue can't be written")


def test_a_port_that_is_none(tmp_path):
    assert_refused(refusal(tmp_path, "--port", "seven"), "--port takes a whole number")
    assert not (tmp_path / "Siltmark").exists()


def test_a_word_that_is_not_known(tmp_path):
    assert_refused(refusal(tmp_path, "--everywhere"), "not understood")


def test_a_taken_port(tmp_path):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        number = other.getsockname()[1]
        assert_refused(refusal(tmp_path, "--port", str(number)), f"Port {number} is taken")


def test_a_second_copy_on_the_same_folder(opened, tmp_path):
    running, place = opened
    ended = refusal(tmp_path, "--data", str(place), "--port", str(free_port()))
    assert_refused(ended, f"is open already at {running.base}/")


def test_the_link_lets_one_browser_in(opened):
    running, place = opened
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    browser.open(running.link).close()
    with browser.open(f"{running.base}/settings/") as page:
        assert str(place) in page.read().decode()


def test_the_files_are_for_their_owner_alone(opened):
    _, place = opened
    assert place.stat().st_mode & 0o777 == 0o700
    assert (place / "secret").stat().st_mode & 0o777 == 0o600


def test_it_ends_cleanly_and_opens_again_quickly(tmp_path, started):
    place = tmp_path / "catalogue"
    running = started("--data", str(place))
    assert running.stop(signal.SIGTERM) == 0
    assert "Traceback" not in running.log.read_text()
    assert not (place / "catalogue.sqlite3-wal").exists()
    with closing(sqlite3.connect(place / "catalogue.sqlite3")) as direct:
        assert direct.execute("SELECT username FROM auth_user").fetchall() == [("owner",)]

    secret = (place / "secret").read_text()
    running = started("--data", str(place))
    with urllib.request.urlopen(f"{running.base}/enter/") as page:
        assert page.status == 200
    assert running.stop(signal.SIGINT) == 0
    assert (place / "secret").read_text() == secret

    with closing(sqlite3.connect(place / "catalogue.sqlite3")) as direct:
        direct.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('care', '0999_later', '2030-1-1')"
        )
        direct.commit()
    assert_refused(refusal(tmp_path, "--data", str(place), "--port", str(free_port())), "newer version")

    (place / "catalogue.sqlite3").write_bytes(b"a shopping list" * 500)
    assert_refused(refusal(tmp_path, "--data", str(place), "--port", str(free_port())), "is damaged")


def test_a_crash_leaves_nothing_that_keeps_it_from_opening(tmp_path, started):
    place = tmp_path / "catalogue"
    running = started("--data", str(place))
    assert running.stop(signal.SIGKILL) == -signal.SIGKILL
    again = started("--data", str(place))
    assert again.stop() == 0


def test_an_interrupted_first_start_leaves_no_demo_behind(tmp_path):
    (tmp_path / "temporary").mkdir()
    process = subprocess.Popen(
        command("--demo", "--no-browser", "--port", str(free_port())),
        env=surroundings(tmp_path, TMPDIR=str(tmp_path / "temporary")),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    until = time.monotonic() + 20
    while not list(Path(tmp_path / "temporary").glob("siltmark-demo-*/secret")) and time.monotonic() < until:
        time.sleep(0.02)
    process.send_signal(signal.SIGTERM)
    output, _ = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Traceback" not in output
    assert list((tmp_path / "temporary").iterdir()) == []
    assert not (tmp_path / "Siltmark").exists()
