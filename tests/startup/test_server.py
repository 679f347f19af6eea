"""The order in which a catalogue opens, within one process."""

import signal
import sys
import threading
import urllib.error
import urllib.request
from types import ModuleType

import pytest
from django.contrib.auth import get_user_model
from django.core.management import CommandError, call_command
from django.db import OperationalError

from catalogue.access import background, services
from catalogue.access.models import OneTimeKey
from catalogue.access.startup import StartRefused, bootstrap, database, folder, log, network, server
from catalogue.access.startup.options import Options
from tests.running import free_port

pytestmark = pytest.mark.usefixtures("put_back")


@pytest.fixture
def standing(tmp_path):
    """The context of a start, without its locks."""
    number = free_port()
    with network.listen(number) as listener:
        yield bootstrap.StartContext(Options(port=number, browser=False), tmp_path, listener)


@pytest.fixture
def quiet(monkeypatch):
    """Nothing is served, logged or written beside the test; what would be served is noted."""
    served = []
    monkeypatch.setattr(server, "serve", lambda start, link: served.append(link))
    monkeypatch.setattr(log, "keep_in", lambda folder: None)
    monkeypatch.setattr(folder, "keep_temporary_files", lambda folder: None)
    monkeypatch.setattr(database, "file", lambda: None)
    return served


@pytest.mark.django_db
def test_it_makes_the_owner_and_serves_with_a_key_that_opens(standing, quiet):
    server.open_catalogue(standing)
    (link,) = quiet
    assert link.startswith(standing.address + "enter/")
    assert get_user_model().objects.get().username == "owner"
    assert services.use_key(link.split("/")[-2]).opens == OneTimeKey.Opens.OWNER


@pytest.mark.django_db
def test_the_demo_is_filled_before_it_is_served(standing, quiet, monkeypatch):
    standing.options = Options(demo=True, browser=False)
    monkeypatch.setattr(server, "fill_demo", lambda: "it opens empty")
    server.open_catalogue(standing)
    assert standing.warnings == ["it opens empty"]


@pytest.mark.django_db
def test_on_the_network_the_addresses_are_said(standing, quiet, settings):
    standing.options = Options(lan=True, browser=False)
    settings.LAN_ADDRESSES, settings.PORT = ["192.168.7.20"], 8999
    server.open_catalogue(standing)
    assert "http://192.168.7.20:8999/" in standing.warnings[0]
    settings.LAN_ADDRESSES = []
    assert "no address on a network" in server.network_line()


def test_a_damaged_file_is_refused_before_anything_else(standing, quiet, monkeypatch, tmp_path):
    (tmp_path / "db").write_bytes(b"not a database" * 100)
    monkeypatch.setattr(database, "file", lambda: tmp_path / "db")
    with pytest.raises(StartRefused, match="damaged"):
        server.open_catalogue(standing)


@pytest.mark.django_db
def test_the_unforeseen_is_logged_and_ends_with_1(standing, quiet, monkeypatch, caplog):
    def fails(**options):
        raise ZeroDivisionError

    monkeypatch.setattr(database, "bring_up_to_date", fails)
    with pytest.raises(SystemExit) as ended:
        server.open_catalogue(standing)
    assert ended.value.code == 1
    assert "could not open: ZeroDivisionError" in caplog.text


@pytest.mark.django_db
@pytest.mark.parametrize("error", [OperationalError("database or disk is full"), OSError(28, "disk full")])
def test_a_disk_that_fills_meanwhile_is_a_sentence(standing, quiet, monkeypatch, error):
    def fails(**options):
        raise error

    monkeypatch.setattr(database, "bring_up_to_date", fails)
    with pytest.raises(StartRefused, match="can't be opened .*disk"):
        server.open_catalogue(standing)


def test_the_command_needs_what_bootstrap_settled(standing, monkeypatch):
    with pytest.raises(CommandError, match="python manage.py start"):
        call_command("start")
    opened = []
    monkeypatch.setattr(server, "open_catalogue", opened.append)
    monkeypatch.setattr(bootstrap, "current", standing)
    call_command("start", "--no-browser")
    assert opened == [standing]


def test_pages_are_served_until_it_is_ended(standing, monkeypatch, capsys):
    """A real request over the wire, answered by the address of nothing; then Ctrl-C."""
    answers, main, stopped = [], threading.main_thread().ident, threading.Event()
    # What a shell starts in the background ignores it, and so does what is started from there.
    signal.signal(signal.SIGINT, signal.default_int_handler)

    def visit_and_end(stop):
        try:
            urllib.request.urlopen(f"{standing.address}no/such/page/")
        except urllib.error.HTTPError as error:
            with error:
                answers.append((error.code, error.read().decode(), dict(error.headers)))
        signal.pthread_kill(main, signal.SIGINT)
        if stop.wait(10):
            stopped.set()

    monkeypatch.setattr(background, "_works", [visit_and_end])
    standing.warnings.append("The disk is nearly full.")
    server.serve(standing, "http://127.0.0.1/enter/key/")
    ((code, page, headers),) = answers
    assert code == 404 and "nothing at this address" in page
    assert "waitress" not in str(headers)
    assert stopped.is_set()
    shown = capsys.readouterr().out
    assert shown.index("nearly full") < shown.index("http://127.0.0.1/enter/key/")


def test_the_browser_is_opened_unless_not_wanted(standing, monkeypatch, capsys):
    opened, done = [], threading.Event()
    monkeypatch.setattr(server.webbrowser, "open", lambda link: (opened.append(link), done.set()))
    server.announce(standing, "http://127.0.0.1/enter/one/")
    standing.options = Options(demo=True)
    server.announce(standing, "http://127.0.0.1/enter/two/")
    assert done.wait(5)
    assert opened == ["http://127.0.0.1/enter/two/"]
    assert "ends the demo" in capsys.readouterr().out


def test_arriving_pictures_wait_on_the_catalogues_own_disk(tmp_path):
    import tempfile

    (tmp_path / "incoming").mkdir()
    (tmp_path / "incoming" / "left by a crash").write_text("")
    folder.keep_temporary_files(tmp_path)
    with tempfile.NamedTemporaryFile() as arriving:
        assert arriving.name.startswith(str(tmp_path / "incoming"))
    assert list((tmp_path / "incoming").iterdir()) == []


def test_a_file_in_place_of_that_folder_makes_way(tmp_path, put_back):
    (tmp_path / "incoming").write_text("left by whatever")
    folder.keep_temporary_files(tmp_path)
    assert (tmp_path / "incoming").is_dir()


def test_a_copy_without_demo_finds_says_so(monkeypatch):
    monkeypatch.setattr(server.util, "find_spec", lambda name: None)
    assert "opens empty" in server.fill_demo()


def test_the_demo_is_filled_by_its_own_loader_and_that_is_said_before(monkeypatch, capsys):
    loader, filled = ModuleType("demo_fixtures.load"), []
    loader.fill = lambda: filled.append("takes a moment" in capsys.readouterr().out)
    monkeypatch.setattr(server.util, "find_spec", lambda name: object())
    monkeypatch.setitem(sys.modules, "demo_fixtures.load", loader)
    assert server.fill_demo() is None
    assert filled == [True]
