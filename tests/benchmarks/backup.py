"""A backup and its way back as ratios: against reading and hashing, and against copying, the same bytes."""

import hashlib
import os
import resource
import secrets
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
PICTURE_BYTES = 4_000_000
Work = Callable[[], object]
MB = 1_000_000
# Each way is gone so often, and their quickest counts: beside other work they differ by a half.
TIMES = 3


def main(mb: int = 200) -> None:
    """Make originals of so many MB in a folder of its own, then write, write again, unpack."""
    with tempfile.TemporaryDirectory(prefix="siltmark-bench-") as room:
        os.environ["SILTMARK_DATA"] = str(Path(room) / "data")
        (Path(room) / "data").mkdir()
        import django

        django.setup()
        _measure(Path(room), mb)


def _measure(room: Path, mb: int) -> None:
    from django.conf import settings
    from django.core.management import call_command

    from catalogue.exchange.backup.archive import write_backup
    from catalogue.exchange.backup.days import back_up_day
    from catalogue.exchange.backup.restore import unpack

    call_command("migrate", verbosity=0)
    originals = Path(settings.MEDIA_ROOT) / "originals"
    for _ in range(max(1, mb * MB // PICTURE_BYTES)):
        content = secrets.token_bytes(PICTURE_BYTES)
        name = hashlib.sha256(content).hexdigest()
        place = originals / name[:2] / f"{name}.jpg"
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(content)
    every = [path for path in originals.rglob("*") if path.is_file()]
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    stick, home, copy, zipped = room / "stick", room / "home", room / "copy", room / "b.zip"
    stick.mkdir()
    print(f"{mb} MB of originals")
    for held in (True, False):
        print("what is read lies " + ("in memory" if held else "on the disk alone"))
        floor = _quickest(lambda: _read_and_hash(every), every, held)
        copying = _quickest(lambda: shutil.copytree(originals, copy), every, held, copy)
        to_disk = _quickest(lambda: _copy_to_disk(originals, copy), every, held, copy)
        both = _quickest(lambda: _copy_and_read_back(originals, copy), every, held, copy)
        one_file = _quickest(lambda: write_backup(zipped), every, held, zipped)
        write_backup(zipped)
        back = _quickest(lambda: unpack(zipped, home), [zipped], held, home)
        zipped.unlink()
        print(f"  reading and hashing       {floor}")
        print(f"  copying                   {copying}")
        print(f"  the same, forced to disk  {to_disk}   {to_disk / copying} times copying")
        print(f"  and read back from there  {both}   {both / copying} times copying")
        for name, goal, took, against in (
            ("one file", "reading and hashing (goal 1.3)", one_file, floor),
            ("checked, unpacked", "copying (goal 1.5)", back, copying),
        ):
            print(f"  {name:25} {took}   {took / against} times {goal},")
            print(f"{'':30}{took / to_disk} times copying and forcing,")
            print(f"{'':30}{took / both} times that and reading back, with nothing compared")
    first = _seconds(lambda: back_up_day(stick, keep=30))
    second = _seconds(lambda: back_up_day(stick, keep=30))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    print(f"first day           {first}")
    print(f"unchanged day       {second}   (goal 2 s and a fifth of hashing the database)")
    print(f"memory {before:.0f} MB before, at most {after:.0f} MB (goal under 150)")


def _source_is(files: list[Path], *, held: bool) -> None:
    """Have the system's memory hold these files, as just after they were written, or none of them.

    A backup lets go of what it has read and written, so that a restore after it reads from the disk; a copy
    to be compared with it has to begin from the same.
    """
    from catalogue.common.kept_files import let_go_of

    for path in files:
        with path.open("r+b", buffering=0) as file:
            os.fsync(file.fileno())
            let_go_of(file, 0, None)
            while held and file.read(MB):
                pass


def _quickest(work: Work, source: list[Path], held: bool, made: Path | None = None) -> "Took":
    """The quickest of some runs, each of which finds what it reads in the same place.

    What it `made`, a file or a folder, is swept after each, on the disk too: nothing of it waits to be
    written while the next is measured.
    """
    took = []
    for _ in range(TIMES):
        _source_is(source, held=held)
        took.append(_seconds(work))
        if made and made.is_dir():
            shutil.rmtree(made)
        elif made:
            made.unlink()
        os.sync()
    return min(took)


def _read_and_hash(every: list[Path]) -> None:
    for path in every:
        with path.open("rb") as file:
            hashlib.file_digest(file, "sha256")


def _copy_to_disk(source: Path, target: Path) -> None:
    shutil.copytree(source, target)
    for path in target.rglob("*"):
        if path.is_file():
            with path.open("r+b") as file:
                os.fsync(file.fileno())


def _copy_and_read_back(source: Path, target: Path) -> None:
    """The least that whoever compares what lies on the disk has to do, by plain calls one after the other."""
    _copy_to_disk(source, target)
    _source_is([path for path in target.rglob("*") if path.is_file()], held=True)


@dataclass(frozen=True, slots=True, order=True)
class Took:
    """Seconds by the clock, and of the processor: on two cores the first may be half of the second.

    Compared by the clock. Where others use the machine too, the second says what the work itself takes.
    """

    clock: float
    processor: float

    def __str__(self) -> str:
        return f"{self.clock:.2f} s ({self.processor:.2f} s of processor)"

    def __truediv__(self, other: "Took") -> str:
        return f"{self.clock / other.clock:.2f} ({self.processor / other.processor:.2f} of processor)"


def _seconds(work: Work) -> Took:
    """What some work takes."""
    before, begun = os.times(), perf_counter()
    work()
    after, ended = os.times(), perf_counter()
    return Took(ended - begun, after.user + after.system - before.user - before.system)
