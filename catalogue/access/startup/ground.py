"""What must be settled before Django reads its settings: folder, lock, secret, port."""

import os
import shutil
import signal
import socket
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import NoReturn

from catalogue import environment
from catalogue.access.startup import addresses, folder, loading, lock, options, port
from catalogue.access.startup.refusal import EXIT_CODE, Refused


@dataclass(slots=True)
class Ground:
    """What a start stands on."""

    options: options.Options
    folder: Path
    listener: socket.socket
    warnings: list[str] = field(default_factory=list)

    @property
    def address(self) -> str:
        return f"http://{port.LOOPBACK}:{self.options.port}/"


current: Ground | None = None


@contextmanager
def around(words: list[str]) -> Iterator[None]:
    """Prepare for `manage.py start …` and clear up after it; every other command passes untouched.

    A refusal, here or later, becomes its sentence on standard error and exit code 2.
    """
    if words[1:2] != ["start"]:
        yield
        return
    try:
        with ExitStack() as at_the_end:
            chosen = options.read(words[2:])
            stop_on_signals()
            _prepare(chosen, at_the_end)
            at_the_end.callback(loading.end)
            loading.begin()
            yield
    except Refused as refused:
        print(refused, file=sys.stderr, flush=True)
        sys.exit(EXIT_CODE)
    except KeyboardInterrupt:
        sys.exit(0)


def stop_on_signals() -> None:
    """Ctrl-C and a polite end from outside both stop the catalogue in order, at any moment."""

    def stop(number: int, frame: FrameType | None) -> NoReturn:
        # From here on the clearing up runs undisturbed.
        for each in (signal.SIGINT, signal.SIGTERM):
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, stop)


def _prepare(chosen: options.Options, at_the_end: ExitStack) -> None:
    global current
    place = _demo_folder(at_the_end) if chosen.demo else (chosen.data or environment.data_folder())
    place = Path(os.path.abspath(place.expanduser()))
    folder.make(place)
    warning = folder.check_room(place)
    held = lock.take(place, f"http://{port.LOOPBACK}:{chosen.port}/")
    at_the_end.callback(lock.let_go, held)
    listener = port.listen(chosen.port, lan=chosen.lan)
    at_the_end.callback(listener.close)
    try:
        environment.keep_secret_key(place)
    except OSError as error:
        raise Refused(f"The folder {place} can't be written ({folder.reason(error)}).") from None
    _tell_the_settings(chosen, place)
    current = Ground(chosen, place, listener, [warning] if warning else [])


def _demo_folder(at_the_end: ExitStack) -> Path:
    """A folder that nobody's catalogue can be in, gone when the demo ends."""
    made = Path(tempfile.mkdtemp(prefix="siltmark-demo-"))
    at_the_end.callback(shutil.rmtree, made, ignore_errors=True)
    # A shared database named in the environment is somebody's real catalogue.
    os.environ.pop("DATABASE_URL", None)
    return made


def _tell_the_settings(chosen: options.Options, place: Path) -> None:
    os.environ[environment.DATA_VARIABLE] = str(place)
    os.environ["SILTMARK_DEMO"] = "1" if chosen.demo else ""
    os.environ["SILTMARK_PORT"] = str(chosen.port)
    os.environ["SILTMARK_LAN"] = "1" if chosen.lan else ""
    os.environ["SILTMARK_LAN_ADDRESSES"] = ",".join(addresses.on_the_network()) if chosen.lan else ""
