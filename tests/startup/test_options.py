"""What may stand behind `manage.py start`."""

from pathlib import Path

import pytest

from catalogue.access.startup import StartRefused, options


def test_nothing_said_means_the_usual():
    assert options.read([]) == options.Options(demo=False, port=8737, data=None, browser=True, lan=False)


def test_everything_said_is_taken():
    chosen = options.read(["--port", "9001", "--data", "there", "--no-browser", "--lan"])
    assert chosen == options.Options(port=9001, data=Path("there"), browser=False, lan=True)
    assert options.read(["--demo"]).demo


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eight", "", "80.5", "٨٠٨٠", "99999999999999999999"])
def test_a_port_that_is_none_is_said(port):
    with pytest.raises(StartRefused, match="from 1 to 65535"):
        options.read([f"--port={port}"])


@pytest.mark.parametrize("words", [["--prot", "1"], ["more"], ["--data"], ["--no-brow"]])
def test_what_is_not_known_is_said_in_one_sentence(words):
    with pytest.raises(StartRefused, match="--help") as raised:
        options.read(words)
    assert "\n" not in str(raised.value)


def test_the_demo_never_takes_a_folder():
    with pytest.raises(StartRefused, match="folder of its own"):
        options.read(["--demo", "--data", "there"])


def test_help_lists_them_all(capsys):
    with pytest.raises(SystemExit) as ended:
        options.read(["--help"])
    assert ended.value.code == 0
    shown = capsys.readouterr().out
    for word in ("--demo", "--port", "--data", "--no-browser", "--lan"):
        assert word in shown
