"""The real program started two hundred times without loading its modules anew each time.

To load them is most of a start (20 of 25 s on a busy machine), and nothing that a kill could break: a process
has them loaded, and forks one that runs `manage.py start` from its first line to its end, with its lock, its
checks and its own threads. Only where there is fork; elsewhere each start is a cold one.
"""

import multiprocessing
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from multiprocessing.process import BaseProcess
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue, owner_of
from tests.running import PATIENCE_S, Running, free_port, surroundings


class WarmProcess:
    """As much of Popen as `Running` asks for."""

    def __init__(self, process: BaseProcess) -> None:
        self._process = process

    def poll(self) -> int | None:
        return self._process.exitcode

    def send_signal(self, number: signal.Signals) -> None:
        # It may be gone already, and its end not be told yet.
        with suppress(ProcessLookupError):
            if self._process.pid and self.poll() is None:
                os.kill(self._process.pid, number)

    def wait(self, timeout: float | None = None) -> int:
        self._process.join(timeout)
        if (code := self.poll()) is None:
            raise subprocess.TimeoutExpired("manage.py start", timeout or 0)
        return code


class Warm:
    """Starts the program on one folder again and again."""

    def __init__(self, room: Path, folder: Path) -> None:
        self.room, self.folder = room, folder
        self._forking = None
        if "forkserver" in multiprocessing.get_all_start_methods():
            self._forking = multiprocessing.get_context("forkserver")
            self._forking.set_forkserver_preload(["tests.faults._loaded"])

    @contextmanager
    def catalogue(self) -> Iterator[tuple[Running, Browser]]:
        """A catalogue open on the folder, and its owner."""
        if self._forking is None:
            with catalogue(self.room, self.folder) as opened:
                yield opened
            return
        port = free_port()
        log = self.room / f"output-{port}.txt"
        log.touch()
        words = ["manage.py", "start", "--no-browser", "--port", str(port), "--data", str(self.folder)]
        before = dict(os.environ)
        # The forking process takes over what stands here when the first is started.
        os.environ.clear()
        os.environ.update(surroundings(self.room, SILTMARK_DATA=str(self.folder)))
        try:
            process = self._forking.Process(target=_start, args=(words, log), daemon=True)
            process.start()
        finally:
            os.environ.clear()
            os.environ.update(before)
        running = Running(WarmProcess(process), f"http://127.0.0.1:{port}", _link(process, port, log), log)
        try:
            yield running, owner_of(running)
        finally:
            running.stop()


def _link(process: BaseProcess, port: int, log: Path) -> str:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and process.exitcode is None:
        if found := re.search(rf"http://127\.0\.0\.1:{port}/enter/\S+", log.read_text()):
            return found[0]
        time.sleep(0.02)
    process.kill()
    raise AssertionError(f"no link was printed:\n{log.read_text()}")


def _start(words: list[str], log: Path) -> None:
    """In the forked process: what `manage.py` does, its output in a file."""
    output = os.open(log, os.O_WRONLY | os.O_APPEND)
    for number in (1, 2):
        os.dup2(output, number)
    sys.argv = words
    from django.conf import settings

    from catalogue.__main__ import main

    # Settings were read when the modules were loaded; of a start's words only the port differs.
    settings.PORT = int(words[words.index("--port") + 1])
    main()
