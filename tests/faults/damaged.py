"""A database damaged on the disk, and a picture file that vanished: found at the start, said, mended."""

from pathlib import Path

from tests.attacks._catalogue import catalogue, integrity, jpeg, original, originals, rows
from tests.attacks._report import Report
from tests.faults._filled import filled, manage, verified
from tests.running import free_port, refusal


def fault(room: Path, report: Report, moments: int) -> None:
    """Damage the database in several places, restore what the start offers; take a picture away."""
    folder, content = filled(room), jpeg(5)
    with catalogue(room, folder) as (_, owner):
        number = owner.record("Torpedo bottle", [("a.jpg", content)])
    backup = room / "stick" / "b.zip"
    backup.parent.mkdir()
    manage(room, folder, "manage.py", "backup", str(backup))
    sound = (folder / "catalogue.sqlite3").read_bytes()
    for name, bad in _damages(sound).items():
        (folder / "catalogue.sqlite3").write_bytes(bad)
        code, _, said = refusal(room, "--data", str(folder), "--port", str(free_port()))
        report.check(code == 2 and said.count("\n") == 1, f"{name}: not opened, in a sentence", said[:90])
        report.check(f"restore {backup}" in said, f"{name}: the last good backup is offered", said[-170:])
        report.check((folder / "catalogue.sqlite3").read_bytes() == bad, f"{name}: nothing of it is touched")
    manage(room, folder, "manage.py", "restore", str(backup), "--yes", "--data", str(folder))
    report.check(not integrity(folder), "what was offered, typed as it stands, restores it")
    _vanished(room, folder, number, content, report)


def _damages(sound: bytes) -> dict[str, bytes]:
    middle = len(sound) // 8192 * 4096
    return {
        "its first page overwritten": b"\xff" * 4096 + sound[4096:],
        "a stretch of the middle overwritten": sound[:middle] + b"\xa5" * 16384 + sound[middle + 16384 :],
        "its end cut off": sound[: len(sound) * 2 // 3],
    }


def _vanished(room: Path, folder: Path, number: str, content: bytes, report: Report) -> None:
    (digest,) = originals(folder)
    original(folder, digest).unlink()
    with catalogue(room, folder) as (running, owner):
        said = running.log.read_text()
        report.check("missing" in said, "a picture that vanished is named at the start", said[:160])
        pages = {page: owner.get(page).status for page in ("/", f"/finds/{number}/", "/safekeeping/")}
        report.check(set(pages.values()) <= {200, 302}, "its pages open all the same", pages)
        (row,) = rows(folder, "select id from specimens_specimen where number=?", number)
        owner.post(f"/photos/add/?find={row['id']}", {"pictures-role": "detail"}, [("a.jpg", content)])
        report.check(original(folder, digest).exists(), "sent again, it is whole again")
    amiss = verified(room, folder)
    report.check(not amiss, "manage.py verify finds nothing amiss afterwards", amiss[:3])
