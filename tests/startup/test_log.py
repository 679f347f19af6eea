"""The log: everything in the file, our own errors in one line on the screen."""

import io
import logging

import pytest
from django.test import Client, RequestFactory

from catalogue.access.middleware import known_sessions
from catalogue.access.startup import log


@pytest.fixture
def screen(monkeypatch, tmp_path):
    """A root logger with one handler, as the settings make it; put back afterwards."""
    root, shown = logging.getLogger(), io.StringIO()
    handler = logging.StreamHandler(shown)
    monkeypatch.setattr(root, "handlers", [handler])
    monkeypatch.setattr(root, "level", logging.INFO)
    file = log.keep_in(tmp_path)
    yield shown
    file.close()


def log_an_error(name: str) -> None:
    try:
        raise OSError("the inside")
    except OSError:
        logging.getLogger(name).exception("error 1a2b3c4d")


def test_the_file_has_the_trace_and_the_screen_one_line(screen, tmp_path):
    log_an_error("siltmark.errors")
    assert screen.getvalue() == "error 1a2b3c4d (more in siltmark.log)\n"
    kept = (tmp_path / "siltmark.log").read_text()
    assert "ERROR siltmark.errors error 1a2b3c4d" in kept and "OSError: the inside" in kept


def test_what_strangers_send_amiss_is_in_the_file_alone(screen, tmp_path):
    log_an_error("django.security")
    logging.getLogger("siltmark.start").info("opened")
    assert screen.getvalue() == ""
    kept = (tmp_path / "siltmark.log").read_text()
    assert "django.security" in kept and "opened" in kept


@pytest.mark.parametrize(
    ("status", "signed_in", "kept"), [(404, False, False), (404, True, True), (500, False, True)]
)
def test_a_strangers_wrong_addresses_stay_out_of_the_log(screen, tmp_path, settings, status, signed_in, kept):
    known_sessions.replace({"abc"} if signed_in else set())
    request = RequestFactory().get("/wp-login", HTTP_COOKIE=f"{settings.SESSION_COOKIE_NAME}=abc")
    logging.getLogger("django.request").warning(
        "Not Found: /wp-login", extra={"status_code": status, "request": request}
    )
    known_sessions.replace(set())
    file = tmp_path / "siltmark.log"
    assert ("Not Found: /…" in (file.read_text("utf-8") if file.exists() else "")) is kept


def test_what_the_server_says_of_crowds_and_of_hanging_up_stays_out_and_its_errors_are_kept(screen, tmp_path):
    logging.getLogger("waitress").info("Client disconnected while serving /x/")
    logging.getLogger("waitress.queue").warning("Task queue depth is 99")
    logging.getLogger("waitress").error("Unexpected exception when flushing")
    kept = (tmp_path / "siltmark.log").read_text()
    assert "flushing" in kept and "depth" not in kept and "disconnected" not in kept


@pytest.mark.django_db
def test_another_hosts_name_and_a_body_that_can_not_be_read_stay_out_of_the_log(screen, tmp_path, settings):
    """Through Django's own handlers: a host that is not served, a form in parts whose parts can't be told."""
    stranger = Client(enforce_csrf_checks=True)
    stranger.cookies[settings.CSRF_COOKIE_NAME] = "a" * 32
    assert stranger.get("/enter/", HTTP_HOST="evil.example").status_code == 400
    broken = stranger.post("/enter/", b"abc", content_type="multipart/form-data")
    assert broken.status_code == 400
    file = tmp_path / "siltmark.log"
    assert not file.exists() or file.read_text() == ""


def test_the_file_does_not_grow_without_end(screen, tmp_path):
    for _ in range(40):
        logging.getLogger("siltmark").warning("x" * 200_000)
    kept = sorted(tmp_path.glob("siltmark.log*"))
    assert len(kept) == 6
    assert sum(path.stat().st_size for path in kept) < 7_000_000


def test_a_full_disk_stops_the_log_and_nothing_else(screen, tmp_path, monkeypatch, capsys):
    def full(record):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(log.LogFile, "format", lambda self, record: full(record))
    logging.getLogger("siltmark").warning("kept or not")
    assert capsys.readouterr().err == ""
