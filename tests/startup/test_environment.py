"""What the machine decides."""

import os

import pytest

from catalogue import environment


def test_the_secret_is_kept_once_and_for_its_owner_alone(tmp_path):
    environment.keep_secret_key(tmp_path)
    kept = environment.secret_key(tmp_path)
    assert len(kept) >= 60
    environment.keep_secret_key(tmp_path)
    assert environment.secret_key(tmp_path) == kept
    assert [path.name for path in tmp_path.iterdir()] == ["secret"]
    if os.name == "posix":
        assert (tmp_path / "secret").stat().st_mode & 0o777 == 0o600


def test_an_empty_secret_left_by_a_crash_is_replaced(tmp_path):
    (tmp_path / "secret").write_text("")
    (tmp_path / "secret.new").write_text("half")
    environment.keep_secret_key(tmp_path)
    assert len((tmp_path / "secret").read_text()) >= 60


def test_a_secret_with_letters_of_any_alphabet_is_one(tmp_path):
    (tmp_path / "secret").write_text("größer als 日本 " * 4, encoding="utf-8")
    assert environment.keep_secret_key(tmp_path) is None
    assert environment.secret_key(tmp_path).startswith("größer")


@pytest.mark.parametrize("rubbish", [b"\xff\xfe\x00", b"\x00" * 60])
def test_a_secret_that_is_no_text_is_put_aside_and_said(tmp_path, rubbish):
    (tmp_path / "secret").write_bytes(rubbish)
    assert "sign in anew" in environment.keep_secret_key(tmp_path)
    assert len(environment.secret_key(tmp_path)) >= 60
    assert environment.secret_key(tmp_path) == environment.secret_key(tmp_path)
    assert (tmp_path / "secret.unreadable").read_bytes() == rubbish
    assert environment.keep_secret_key(tmp_path) is None


def test_without_a_folder_a_throw_away_secret_does(tmp_path):
    first = environment.secret_key(tmp_path / "none")
    assert len(first) >= 60
    assert environment.secret_key(tmp_path / "none") != first


def test_the_folder_is_the_named_one_else_the_usual(monkeypatch, tmp_path):
    monkeypatch.setenv("SILTMARK_DATA", str(tmp_path / "named"))
    assert environment.data_folder() == tmp_path / "named"
    monkeypatch.delenv("SILTMARK_DATA")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert environment.data_folder() == tmp_path / "Siltmark"


def test_two_catalogues_do_not_share_cookies_and_all_demos_do(monkeypatch, tmp_path):
    monkeypatch.delenv("SILTMARK_DEMO", raising=False)
    mine, other = (environment.cookie_mark(tmp_path / name) for name in ("mine", "other"))
    assert mine != other
    assert mine == environment.cookie_mark(tmp_path / "mine")
    monkeypatch.setenv("SILTMARK_DEMO", "1")
    assert environment.cookie_mark(tmp_path / "mine") == environment.cookie_mark(tmp_path / "other")


def test_the_port_and_lists_come_from_the_environment(monkeypatch):
    monkeypatch.setenv("SILTMARK_PORT", "9001")
    monkeypatch.setenv("SILTMARK_HOSTS", " one.example, ,two.example ")
    assert environment.port() == 9001
    assert environment.words_from("SILTMARK_HOSTS") == ["one.example", "two.example"]
    monkeypatch.setenv("SILTMARK_PORT", "")
    assert environment.port() == 8737
