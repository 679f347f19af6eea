"""What is settled before the settings are read, and cleared up at the end."""

import os
import signal
from pathlib import Path

import pytest

from catalogue.access.startup import bootstrap
from tests.running import free_port

pytestmark = pytest.mark.usefixtures("put_back")


def test_other_commands_pass_untouched():
    before = dict(os.environ)
    with bootstrap.for_command(["manage.py", "check"]):
        assert bootstrap.current is None
    assert dict(os.environ) == before


def test_a_start_settles_folder_secret_port_and_environment(tmp_path):
    place, port = tmp_path / "catalogue", free_port()
    with bootstrap.for_command(["manage.py", "start", "--data", str(place), "--port", str(port)]):
        assert bootstrap.current.folder == place
        assert bootstrap.current.listener.getsockname() == ("127.0.0.1", port)
        assert bootstrap.current.address == f"http://127.0.0.1:{port}/"
        assert {path.name for path in place.iterdir()} == {"secret", "open.lock", "files"}
        assert os.environ["SILTMARK_DATA"] == str(place)
        assert os.environ["SILTMARK_PORT"] == str(port)
        assert os.environ["SILTMARK_LAN"] == ""
        assert os.environ["SILTMARK_ADMIN"] == ""
    with bootstrap.for_command(["manage.py", "start", "--data", str(place), "--port", str(port)]):
        pass


def test_two_folders_that_lead_to_one_folder_of_pictures_are_not_opened_at_once(tmp_path, capsys):
    """A copy of a database knows the same pictures: emptying its bin would take the other's away."""
    first, copy = tmp_path / "first", tmp_path / "copy"
    copy.mkdir()
    (copy / "files").symlink_to(first / "files")
    first_words, copy_words = (
        ["manage.py", "start", "--data", str(folder), "--port", str(free_port())] for folder in (first, copy)
    )

    def refused(words) -> str:
        with pytest.raises(SystemExit) as ended, bootstrap.for_command(words):
            pass
        assert ended.value.code == 2
        return capsys.readouterr().err

    assert "copy/files can't be used (it leads nowhere)" in refused(copy_words)
    with bootstrap.for_command(first_words):
        assert "copy/files is open already at http://127.0.0.1:" in refused(copy_words)
    with bootstrap.for_command(copy_words):
        pass


def test_the_administration_pages_are_on_where_they_are_asked_for(tmp_path):
    words = ["manage.py", "start", "--admin", "--data", str(tmp_path), "--port", str(free_port())]
    with bootstrap.for_command(words):
        assert os.environ["SILTMARK_ADMIN"] == "1"


def test_a_relative_folder_is_taken_from_here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with bootstrap.for_command(["manage.py", "start", "--data", "mine", "--port", str(free_port())]):
        assert os.environ["SILTMARK_DATA"] == str(tmp_path / "mine")


def test_the_demo_has_a_folder_of_its_own_and_it_is_gone_afterwards(tmp_path, monkeypatch):
    monkeypatch.setenv("SILTMARK_DATA", str(tmp_path / "mine"))
    monkeypatch.setenv("DATABASE_URL", "postgres://somebody/real")
    with bootstrap.for_command(["manage.py", "start", "--demo", "--port", str(free_port())]):
        place = Path(os.environ["SILTMARK_DATA"])
        assert place.is_dir() and tmp_path not in place.parents
        assert place.stat().st_mode & 0o777 == 0o700
        assert "DATABASE_URL" not in os.environ
        assert os.environ["SILTMARK_DEMO"] == "1"
    assert not place.exists()
    assert not (tmp_path / "mine").exists()


def test_on_the_network_the_settings_learn_this_machines_addresses(tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap.network, "private_addresses", lambda: ["192.168.7.20", "10.4.0.9"])
    words = ["manage.py", "start", "--lan", "--data", str(tmp_path), "--port", str(free_port())]
    with bootstrap.for_command(words):
        assert os.environ["SILTMARK_LAN"] == "1"
        assert os.environ["SILTMARK_LAN_ADDRESSES"] == "192.168.7.20,10.4.0.9"
        assert bootstrap.current.listener.getsockname()[0] == "0.0.0.0"


def test_a_refusal_is_one_sentence_and_exit_code_2(tmp_path, capsys):
    (tmp_path / "file").write_text("")
    with (
        pytest.raises(SystemExit) as ended,
        bootstrap.for_command(["manage.py", "start", "--data", str(tmp_path / "file")]),
    ):
        pytest.fail("it started")
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1


def test_short_room_is_kept_to_be_said_with_the_link(tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap.folder, "room_mb", lambda path: 150)
    with bootstrap.for_command(["manage.py", "start", "--data", str(tmp_path), "--port", str(free_port())]):
        (warning,) = bootstrap.current.warnings
    assert "150 MB" in warning


def test_a_secret_that_can_not_be_kept_is_said(tmp_path, monkeypatch, capsys):
    def full(folder):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(bootstrap.environment, "keep_secret_key", full)
    with (
        pytest.raises(SystemExit),
        bootstrap.for_command(["manage.py", "start", "--data", str(tmp_path), "--port", str(free_port())]),
    ):
        pytest.fail("it started")
    assert "no space left on device" in capsys.readouterr().err


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT])
def test_a_signal_ends_it_in_order_and_a_second_does_not_disturb(how, put_back):
    signal.signal(how, signal.SIG_DFL)  # under nohup the tests themselves are deaf to SIGHUP
    words = ["manage.py", "start", "--demo", "--port", str(free_port())]
    with pytest.raises(SystemExit) as ended, bootstrap.for_command(words):
        place = Path(os.environ["SILTMARK_DATA"])
        try:
            os.kill(os.getpid(), how)
        finally:
            os.kill(os.getpid(), how)
    assert ended.value.code == 0
    assert not place.exists()


def test_who_was_told_to_outlive_the_terminal_does(put_back):
    signal.signal(signal.SIGHUP, signal.SIG_IGN)
    signal.signal(signal.SIGQUIT, signal.SIG_IGN)
    assert bootstrap.ending_signals() == [signal.SIGINT, signal.SIGTERM, signal.SIGQUIT]


def refused(capsys, *words: str) -> str:
    """What a start says that ends by itself with code 2: one line, nothing else."""
    with (
        pytest.raises(SystemExit) as ended,
        bootstrap.for_command(["manage.py", "start", "--port", str(free_port()), *words]),
    ):
        pytest.fail("it started")
    said = capsys.readouterr()
    assert (ended.value.code, said.out, said.err.count("\n")) == (2, "", 1)
    return said.err


def test_a_user_without_a_home_is_asked_for_a_folder(monkeypatch, capsys):
    def homeless(folder):
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("SILTMARK_DATA")
    monkeypatch.setattr(Path, "expanduser", homeless)
    assert "--data" in refused(capsys)
    assert "--data" in refused(capsys, "--data", "~nobody-at-all/bottles")


def test_a_database_address_that_is_none_is_said(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("DATABASE_URL", "nonsense://anna:hush@x")
    said = refused(capsys, "--data", str(tmp_path))
    assert "DATABASE_URL does not name a database" in said and "hush" not in said


def test_the_demo_says_when_its_temporary_folder_can_not_be_written(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("TMPDIR", str(tmp_path / "none"))
    assert f"{tmp_path / 'none'} (TMPDIR) can't be written" in refused(capsys, "--demo")


def test_the_demo_asks_for_the_room_that_it_fills(monkeypatch, capsys):
    monkeypatch.setattr(bootstrap.folder, "room_mb", lambda path: 99)
    assert "99 MB left" in refused(capsys, "--demo")


def test_a_secret_put_aside_and_a_zone_that_is_none_are_said_with_the_link(tmp_path, monkeypatch):
    (tmp_path / "secret").write_bytes(b"\xff\xfe\x00")
    monkeypatch.setenv("TZ", "Velmoor/Sound")
    with bootstrap.for_command(["manage.py", "start", "--data", str(tmp_path), "--port", str(free_port())]):
        secret, zone = bootstrap.current.warnings
    assert "secret.unreadable" in secret and "Velmoor/Sound" in zone


def test_a_secret_that_is_a_folder_is_said(tmp_path, capsys):
    (tmp_path / "secret").mkdir()
    assert "file called secret is a folder" in refused(capsys, "--data", str(tmp_path))
