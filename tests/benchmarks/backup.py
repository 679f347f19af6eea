"""A backup and its way back as ratios: against reading and hashing, and against copying, the same bytes."""

import hashlib
import os
import resource
import secrets
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
PICTURE_BYTES = 4_000_000
MB = 1_000_000
# The plain ways are done so often, and their quickest counts: beside other work they differ by a half.
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
    floor = min(_seconds(lambda: _read_and_hash(every)) for _ in range(TIMES))
    copies = [
        _seconds(lambda: shutil.copytree(originals, room / "copy"), room / "copy") for _ in range(TIMES)
    ]
    copying = min(copies)
    to_disk = _seconds(lambda: _copy_to_disk(originals, room / "on-disk"), room / "on-disk")
    one_file = _seconds(lambda: write_backup(room / "b.zip"))
    stick, home = room / "stick", room / "home"
    for folder in (stick, home):
        folder.mkdir()
    first = _seconds(lambda: back_up_day(stick, keep=30))
    second = _seconds(lambda: back_up_day(stick, keep=30))
    back = _seconds(lambda: unpack(room / "b.zip", home))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    floor = min(floor, _seconds(lambda: _read_and_hash(every)))
    print(f"{mb} MB of originals; reading and hashing them {floor},")
    print(f"copying them {copying}, at the slowest {max(copies)},")
    print(f"and with what was copied forced to disk, as a backup and a restore are, {to_disk}")
    print(f"one file          {one_file}   {one_file / floor} times reading and hashing (goal 1.3)")
    print(f"first day         {first}   {first / floor} times")
    print(f"unchanged day     {second}   (goal 2 s and a fifth of hashing the database)")
    print(f"checked, unpacked {back}   {back / copying} times copying (goal 1.5),")
    print(f"                  {back / to_disk} times copying and forcing to disk")
    print(f"memory {before:.0f} MB before, at most {after:.0f} MB (goal under 150)")


def _read_and_hash(every: list[Path]) -> None:
    for path in every:
        hashlib.sha256(path.read_bytes()).hexdigest()


def _copy_to_disk(source: Path, target: Path) -> None:
    shutil.copytree(source, target)
    for path in target.rglob("*"):
        if path.is_file():
            with path.open("r+b") as file:
                os.fsync(file.fileno())


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


def _seconds(work, made: Path | None = None) -> Took:
    """What some work takes; the folder that it `made` is swept after."""
    before, begun = os.times(), perf_counter()
    work()
    after, ended = os.times(), perf_counter()
    if made:
        shutil.rmtree(made)
    return Took(ended - begun, after.user + after.system - before.user - before.system)
