"""Bootstrap: what must be settled before Django reads its settings (options, folder, lock, secret, port)."""

import gc
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

from catalogue import database_url, environment, time_zone
from catalogue.access.startup import EXIT_CODE, StartRefused, folder, lock, network, options

# Our own figure: the invented catalogue with its pictures, and as much again.
DEMO_ROOM_MB = 100


@dataclass(slots=True)
class StartContext:
    """What a start has settled: its options, the locked folder, the listening socket, warnings to show."""

    options: options.Options
    folder: Path
    listener: socket.socket
    warnings: list[str] = field(default_factory=list)

    @property
    def address(self) -> str:
        """The catalogue's first page."""
        return address_at(self.options.port)


current: StartContext | None = None


@contextmanager
def for_command(words: list[str]) -> Iterator[None]:
    """Prepare for `start` and clear up after it; every other command passes untouched.

    `words` is the whole command line. A refusal, here or later, becomes its sentence on standard error and
    exit code 2.
    """
    if words[1:2] != ["start"]:
        name_folder(words[1:])
        yield
        return
    try:
        with ExitStack() as at_the_end:
            chosen = options.read(words[2:])
            stop_on_signals()
            _prepare(chosen, at_the_end)
            at_the_end.callback(resume_garbage_collection)
            pause_garbage_collection()
            yield
    except StartRefused as refused:
        print(refused, file=sys.stderr, flush=True)
        sys.exit(EXIT_CODE)
    except KeyboardInterrupt:
        sys.exit(0)


def name_folder(words: list[str]) -> None:
    """Have `--data DIR` of a command name the folder of the catalogue, which the settings read."""
    for word, after in zip(words, [*words[1:], ""], strict=True):
        named = after if word == "--data" else word.removeprefix("--data=")
        if named and (word == "--data" or word.startswith("--data=")):
            os.environ[environment.DATA_VARIABLE] = os.path.abspath(os.path.expanduser(named))


def address_at(port: int) -> str:
    """The catalogue's address on this machine."""
    return f"http://{network.LOOPBACK}:{port}/"


def ending_signals() -> list[signal.Signals]:
    """Those that ask the catalogue to end: Ctrl-C, a polite end from outside, a terminal that is closed.

    Whoever started it by `nohup` wants it to outlive the terminal.
    """
    names = ("SIGINT", "SIGTERM", "SIGQUIT", "SIGHUP")
    found = [number for name in names if (number := getattr(signal, name, None)) is not None]
    # A shell has what it starts in the background ignore the others too; that can be ended all the same.
    return [
        number
        for number in found
        if number.name != "SIGHUP" or signal.getsignal(number) is not signal.SIG_IGN
    ]


def stop_on_signals() -> None:
    """Each of `ending_signals` stops the catalogue in order, at any moment."""
    numbers = ending_signals()

    def stop(number: int, frame: FrameType | None) -> NoReturn:
        # From here on the clearing up runs undisturbed.
        for each in numbers:
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    for number in numbers:
        signal.signal(number, stop)


def pause_garbage_collection() -> None:
    """From here on modules are loaded, to stay: each look for garbage meanwhile would find nothing.

    A fifth of the time to the first page went there (measured).
    """
    gc.disable()


def resume_garbage_collection() -> None:
    """Loaded: what there is now needn't be looked through again. Can be called twice."""
    gc.freeze()
    gc.enable()


def _prepare(chosen: options.Options, at_the_end: ExitStack) -> None:
    global current
    place = _demo_folder(at_the_end) if chosen.demo else _own_folder(chosen)
    # Whatever is written from here on, by the database too, is the owner's alone.
    os.umask(0o077)
    folder.make(place)
    warnings = [folder.check_room(place, least_mb=DEMO_ROOM_MB if chosen.demo else folder.LEAST_ROOM_MB)]
    _check_database(place)
    at_the_end.callback(lock.let_go, lock.take(place, address_at(chosen.port)))
    warnings.append(_swap_in_restored(place))
    # The pictures may lie elsewhere, by a link: then another catalogue's folder may lead to them too.
    at_the_end.callback(lock.let_go, lock.take(folder.of_pictures(place), address_at(chosen.port)))
    listener = network.listen(chosen.port, lan=chosen.lan)
    at_the_end.callback(listener.close)
    try:
        warnings.append(environment.keep_secret_key(place))
    except OSError as error:
        raise StartRefused(f"The folder {place} can't be written ({folder.reason(error)}).") from None
    warnings.append(time_zone.unknown_zone())
    _set_environment(chosen, place)
    current = StartContext(chosen, place, listener, [each for each in warnings if each])


def _own_folder(chosen: options.Options) -> Path:
    """The folder that is named, else the usual one, from wherever one stands."""
    try:
        return Path(os.path.abspath((chosen.data or environment.data_folder()).expanduser()))
    except RuntimeError:
        raise StartRefused(
            "The home folder of this user can't be found: name the catalogue's folder with --data."
        ) from None


def _check_database(place: Path) -> None:
    """What names the database can be understood, and this installation can talk to it."""
    try:
        database_url.check_driver(database_url.database_settings(place))
    except database_url.BadDatabaseUrl as error:
        raise StartRefused(str(error)) from None


def _swap_in_restored(place: Path) -> str | None:
    """Put a restored catalogue that waits in its place, before anything of the old one is opened."""
    chosen = database_url.database_settings(place)
    if chosen["ENGINE"] != database_url.SQLITE:
        # Its rows are loaded into the server, which needs Django: `server` does it before it opens.
        return None
    # Not above: it stands on Django, and a start where that is missing says so in its own words.
    from catalogue.access.startup import restore_swap

    kept = restore_swap.swap(place, Path(chosen["NAME"]))
    return restore_swap.told(kept) if kept else None


def _demo_folder(at_the_end: ExitStack) -> Path:
    """A folder that nobody's catalogue can be in, gone when the demo ends."""
    named = os.environ.get("TMPDIR")
    try:
        made = Path(tempfile.mkdtemp(prefix="siltmark-demo-", dir=named or None))
    except OSError as error:
        where = f"The folder for temporary files {named} (TMPDIR)" if named else "A temporary folder"
        raise StartRefused(f"{where} can't be written ({folder.reason(error)}).") from None
    at_the_end.callback(shutil.rmtree, made, ignore_errors=True)
    # A shared database named in the environment is somebody's real catalogue.
    os.environ.pop(database_url.VARIABLE, None)
    return made


def _set_environment(chosen: options.Options, place: Path) -> None:
    """Tell the settings, which read the environment alone."""
    os.environ[environment.DATA_VARIABLE] = str(place)
    # What SQLite sorts beside the memory goes to the disk whose room was checked.
    os.environ.setdefault("SQLITE_TMPDIR", str(place))
    os.environ["SILTMARK_DEMO"] = "1" if chosen.demo else ""
    os.environ["SILTMARK_PORT"] = str(chosen.port)
    os.environ["SILTMARK_ADMIN"] = "1" if chosen.admin else ""
    os.environ["SILTMARK_LAN"] = "1" if chosen.lan else ""
    os.environ["SILTMARK_LAN_ADDRESSES"] = ",".join(network.private_addresses()) if chosen.lan else ""
    os.environ["SILTMARK_LAN_NAMES"] = ",".join(network.own_names()) if chosen.lan else ""
