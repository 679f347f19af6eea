"""The real program in a process of its own, as a person starts it."""

import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PATIENCE_S = 240
# What Python compiles is kept, beside the checkout: where the environment forbids to keep it, each start of
# the program compiled all of it anew, most of the time of a start.
BYTECODE = Path(tempfile.gettempdir()) / "siltmark-bytecode"
# Where the rows of whatever is started from here on lie; nothing says in a file of its folder. Only
# `python -m tests.faults` and `tests.attacks` fill it: a test's own DATABASE_URL is no place to start on.
STORE: dict[str, str] = {}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def command(*words: str) -> list[str]:
    return [sys.executable, str(ROOT / "manage.py"), "start", *words]


def surroundings(home: Path, **more: str) -> dict[str, str]:
    """The environment of a person who has set nothing."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("SILTMARK", "COV_", "DJANGO"))}
    for name in ("DATABASE_URL", "PYTHONDONTWRITEBYTECODE"):
        kept.pop(name, None)
    return kept | {"HOME": str(home), "PYTHONPYCACHEPREFIX": str(BYTECODE), **STORE, **more}


def refusal(home: Path, *words: str, **more: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of a start that is expected to end by itself."""
    ended = subprocess.run(
        command(*words), env=surroundings(home, **more), capture_output=True, text=True, timeout=PATIENCE_S
    )
    return ended.returncode, ended.stdout, ended.stderr


@dataclass
class Running:
    """A catalogue that is open."""

    process: subprocess.Popen
    base: str
    link: str
    log: Path

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Ask it to end; the exit code."""
        if self.process.poll() is None:
            self.process.send_signal(how)
        return self.process.wait(timeout=PATIENCE_S)


def start(
    home: Path, *words: str, port: int | None = None, program: Path | None = None, **more: str
) -> Running:
    """Start with `words`, and wait until the link is printed.

    `program` is the installed command, run from `home`; without it the checkout's `manage.py` is meant.
    """
    port = port or free_port()
    log = home / f"output-{port}.txt"
    called = [str(program), "start"] if program else command()
    with log.open("w") as output:
        process = subprocess.Popen(
            [*called, "--no-browser", "--port", str(port), *words],
            cwd=home if program else None,
            stdout=output,
            stderr=subprocess.STDOUT,
            env=surroundings(home, **more),
        )
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and process.poll() is None:
        if found := re.search(rf"http://127\.0\.0\.1:{port}/enter/\S+", log.read_text()):
            return Running(process, f"http://127.0.0.1:{port}", found[0], log)
        time.sleep(0.05)
    process.kill()
    process.wait()
    raise AssertionError(f"no link was printed:\n{log.read_text()}")
