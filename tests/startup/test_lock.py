"""One copy at a time on a folder."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from catalogue.access.startup import StartRefused, lock

HOLD = """
import sys, time
from pathlib import Path
from catalogue.access.startup import lock
lock.take(Path(sys.argv[1]), "http://127.0.0.1:9/")
print("held", flush=True)
time.sleep(60)
"""


def test_a_second_is_told_where_the_first_is(tmp_path):
    held = lock.take(tmp_path, "http://127.0.0.1:9/")
    with pytest.raises(StartRefused, match=r"open already at http://127\.0\.0\.1:9/"):
        lock.take(tmp_path, "http://127.0.0.1:10/")
    lock.let_go(held)
    lock.let_go(lock.take(tmp_path, "http://127.0.0.1:10/"))


def test_a_crash_frees_it(tmp_path):
    process = subprocess.Popen([sys.executable, "-c", HOLD, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout.readline() == "held\n"
    with pytest.raises(StartRefused):
        lock.take(tmp_path, "")
    os.kill(process.pid, signal.SIGKILL)
    process.communicate()
    lock.let_go(lock.take(tmp_path, ""))


def test_a_folder_that_takes_no_file_is_said():
    with pytest.raises(StartRefused, match="can't be written"):
        lock.take(Path("/proc"), "")
