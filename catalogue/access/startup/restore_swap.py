"""The swap at the end of a restore: a whole, checked catalogue takes the place of the one in the data folder.

What is restored waits in `restored` within the data folder until a start, or the command that made it, swaps
it in; nothing is open then. Every step can be done twice, and the file that asks for them goes last, so that
after a crash the next start goes on where it broke off. What was there before is kept beside it.
"""

import json
import os
import shutil
from datetime import date
from pathlib import Path

from catalogue.access.startup import StartRefused
from catalogue.access.startup.folder import ID_FILE, LEFT_FILE, PICTURES
from catalogue.common.kept_files import OWNER_FOLDER, new_file, sync_folder
from catalogue.database_url import FILE

WAITING, READY = "restored", "restored.ready"
KEPT_PREFIX = "before-restore-"
BESIDE_DATABASE = ("-wal", "-shm")


def waiting_room(data_folder: Path) -> Path:
    """Where a restored catalogue waits: `catalogue.sqlite3` and `files`, as in a data folder."""
    return data_folder / WAITING


def clear(data_folder: Path) -> None:
    """Give up what waits, and make the waiting room anew, empty. Raises OSError."""
    (data_folder / READY).unlink(missing_ok=True)
    shutil.rmtree(waiting_room(data_folder), ignore_errors=True)
    waiting_room(data_folder).mkdir(mode=OWNER_FOLDER, parents=True, exist_ok=True)


def give_up(data_folder: Path) -> bool:
    """Give up what waits; whether anything did."""
    waited = (data_folder / READY).exists()
    clear(data_folder)
    waiting_room(data_folder).rmdir()
    return waited


def make_ready(data_folder: Path, catalogue_id: str, *, with_files: bool = True) -> None:
    """Say that what waits is whole: from here on the next start swaps it in. Raises OSError.

    Without `with_files` only the database changes places, and the pictures stay.
    """
    fresh = waiting_room(data_folder)
    if with_files:
        (fresh / PICTURES).mkdir(mode=OWNER_FOLDER, exist_ok=True)
    if catalogue_id:
        _write(fresh / ID_FILE, f"{catalogue_id}\n")
    sync_folder(fresh)
    part = data_folder / f"{READY}.new"
    part.unlink(missing_ok=True)
    _write(part, json.dumps({"keep": _free_name(data_folder)}))
    os.replace(part, data_folder / READY)
    sync_folder(data_folder)


def is_ready(data_folder: Path) -> bool:
    """Whether a restored catalogue waits to be swapped in."""
    return (data_folder / READY).is_file()


def kept_folder(data_folder: Path) -> Path:
    """Where what is there now will be kept, once what waits is swapped in. Raises OSError, ValueError."""
    return data_folder / _read(data_folder / READY)["keep"]


def swap(data_folder: Path, database: Path | None) -> Path | None:
    """Swap in what waits, while nobody has the catalogue open; the folder that holds what was there before.

    None where nothing waits. `database` is None where a server keeps it: then only the files change places.
    Raises StartRefused where the disk fails; the next start goes on.
    """
    if not is_ready(data_folder):
        return None
    try:
        keep = kept_folder(data_folder)
        keep.mkdir(mode=OWNER_FOLDER, exist_ok=True)
        fresh = waiting_room(data_folder)
        if database is not None:
            _put(fresh / FILE, database, keep, beside=BESIDE_DATABASE)
        _put(fresh / PICTURES, data_folder / PICTURES, keep)
        _put(fresh / ID_FILE, data_folder / ID_FILE, keep)
        (data_folder / LEFT_FILE).unlink(missing_ok=True)
        for folder in {keep, data_folder, (database or data_folder / FILE).parent}:
            sync_folder(folder)
        (data_folder / READY).unlink()
        shutil.rmtree(fresh, ignore_errors=True)
        if not any(keep.iterdir()):
            keep.rmdir()
    except (OSError, ValueError, KeyError, TypeError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise StartRefused(
            f"The restored catalogue in {waiting_room(data_folder)} could not be put in its place "
            f"({str(said).lower()}): nothing is lost; free the disk or its rights, then start again."
        ) from None
    return keep


def told(kept: Path) -> str:
    """What a start says once a restored catalogue was swapped in."""
    return f"The restored catalogue is open; what was there before lies in {kept}."


def _put(fresh: Path, place: Path, keep: Path, *, beside: tuple[str, ...] = ()) -> None:
    """Move what is at `place` into `keep` and the fresh one to its place; nothing where that was done."""
    if not fresh.exists():
        return
    # What SQLite keeps beside a database goes first: beside another one it would be read as a part of that.
    for old in [*(place.with_name(f"{place.name}{end}") for end in beside), place]:
        if old.exists() or old.is_symlink():
            _move(old, keep / old.name)
    _move(fresh, place)


def _move(source: Path, target: Path) -> None:
    try:
        os.replace(source, target)
    except OSError:
        # Another disk: a database that lies elsewhere.
        shutil.move(source, target)


def _free_name(data_folder: Path) -> str:
    stem, number = f"{KEPT_PREFIX}{date.today().isoformat()}", 1
    while (data_folder / f"{stem}-{number}").exists():
        number += 1
    return f"{stem}-{number}"


def _write(path: Path, text: str) -> None:
    path.unlink(missing_ok=True)
    with new_file(path) as file:
        file.write(text.encode())
        file.flush()
        os.fsync(file.fileno())


def _read(path: Path) -> dict[str, str]:
    found: dict[str, str] = json.loads(path.read_text(encoding="utf-8"))
    if Path(found["keep"]).name != found["keep"]:
        raise ValueError(f"{path} names a place outside")
    return found
