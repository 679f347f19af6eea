"""Identity of folder and database: each holds the same id, so that neither is opened with a stranger.

Pictures lie in the folder, what they are of in the database. A start with the wrong, an empty or no database
would show a catalogue without its pictures, and everything done in it would have to be undone by hand.
"""

import os
import re
import secrets
from dataclasses import dataclass
from enum import Enum, auto
from pathlib import Path

from django.db import DatabaseError, connection

from catalogue.access.models import CatalogueId
from catalogue.access.startup import StartRefused
from catalogue.access.startup.database import one_line
from catalogue.access.startup.folder import ID_FILE
from catalogue.common.kept_files import new_file

WAITING_FILE = f"{ID_FILE}.new"
ID = re.compile(r"[0-9a-f]{32}")
# What can be made again, or is not whole: a folder that holds nothing else has nothing to lose.
REMADE = ("sizes", "arriving")
# Lists of towns that were added are in backups, but are nobody's own: they can be had again.
HAD_AGAIN = ("towns",)
# One row in any of these, and somebody has worked with the database.
WORKED_IN = ("specimens_specimen", "sites_dive", "sites_site", "photos_photo", "photos_heldpicture")

WITH_PICTURES = ("photos_photo", "photos_heldpicture", "photos_cardpicture", "care_benchphoto")


class DatabaseContents(Enum):
    """What a database holds, as far as can be told before it is brought up to date."""

    NOTHING = auto()
    STRANGE = auto()
    NO_ROWS = auto()
    ROWS = auto()


@dataclass(frozen=True, slots=True)
class Pairing:
    """What is known of a folder and its database before they are opened together."""

    folder_id: str | None
    database_id: str | None
    contents: DatabaseContents
    has_files: bool
    # At least half of the originals in the folder are in the database: a copy put together by hand.
    knows_files: bool = False

    @property
    def objection(self) -> str | None:
        """Why they don't belong together, as the end of a sentence; None where nothing speaks against it."""
        if self.contents is DatabaseContents.STRANGE:
            return "the database is not a catalogue of this program"
        if self.folder_id and self.folder_id == self.database_id:
            return None
        if self.folder_id and self.database_id:
            return "the database belongs to another folder"
        if not self.has_files:
            return None
        if self.contents is DatabaseContents.NOTHING:
            return "the database is missing or empty"
        if self.contents is DatabaseContents.NO_ROWS:
            return "nothing is recorded in the database"
        if self.knows_files or not (self.folder_id or self.database_id):
            return None
        return "the database does not know the pictures in it"


def pairing(folder: Path, database_file: Path | None) -> Pairing:
    """Look at a folder and the database that is about to be opened with it; changes nothing.

    Raises StartRefused where the database can't be asked.
    """
    there = database_file is None or (database_file.exists() and database_file.stat().st_size > 0)
    try:
        found = _contents() if there else DatabaseContents.NOTHING
        known = found in (DatabaseContents.NO_ROWS, DatabaseContents.ROWS)
        database_id = _database_id() if known else None
        folder_id = read_id(folder / ID_FILE)
        if folder_id is None and database_id and read_id(folder / WAITING_FILE) == database_id:
            folder_id = database_id
        # Only where one of them has no id: a usual start need not look at every picture for it.
        one_id_alone = (folder_id is None) != (database_id is None)
        knows_files = known and one_id_alone and _knows_half(folder)
    except DatabaseError as error:
        raise StartRefused(f"The catalogue's database can't be used ({one_line(error)}).") from error
    return Pairing(
        folder_id=folder_id,
        database_id=database_id,
        contents=found,
        has_files=has_files(folder),
        knows_files=knows_files,
    )


def check(folder: Path, database_file: Path | None, *, adopt: bool) -> None:
    """Raise StartRefused where folder and database don't belong together, unless the owner adopts it."""
    found = pairing(folder, database_file)
    if found.objection is None:
        return
    if adopt and found.contents is not DatabaseContents.STRANGE:
        ask(folder, found.objection)
        return
    where = f" ({database_file})" if database_file else ""
    remedy = "Put the right database back"
    if found.contents is not DatabaseContents.STRANGE:
        remedy += ", or open the two together with start --adopt"
    raise StartRefused(
        f"The folder {folder} was not opened, because {found.objection}{where}. "
        f"Nothing was changed, and no picture is touched. {remedy}."
    )


def ask(folder: Path, objection: str) -> None:
    """Ask on the terminal; raises StartRefused unless the answer is yes."""
    print(
        f"The folder {folder} has pictures or papers, and {objection}. Opened together, the folder takes "
        "this database as its own; files that it does not know stay where they are.\n"
        "Open them together? (yes/no) ",
        end="",
        flush=True,
    )
    try:
        answer = input()
    except EOFError:
        answer = ""
    if answer.strip().lower() not in ("y", "yes"):
        raise StartRefused("Not opened; nothing was changed.")


def settle(folder: Path) -> None:
    """After a good start both hold the same id; a pair from before the id gets one.

    The folder's waits under another name until the database has it, so that a crash between the two leaves
    nothing that a later start could take for two strangers.
    """
    row = CatalogueId.objects.filter(pk=1).first()
    value = row.value if row else (read_id(folder / ID_FILE) or secrets.token_hex(16))
    if row and read_id(folder / ID_FILE) == value:
        return
    _write(folder / WAITING_FILE, value)
    CatalogueId.objects.get_or_create(pk=1, defaults={"value": value})
    os.replace(folder / WAITING_FILE, folder / ID_FILE)


def read_id(path: Path) -> str | None:
    """The id in a file; None where there is none, or something that is no id."""
    try:
        text = path.read_text(encoding="ascii", errors="replace").strip()
    except OSError:
        return None
    return text if ID.fullmatch(text) else None


def _write(path: Path, value: str) -> None:
    path.unlink(missing_ok=True)
    with new_file(path) as file:
        file.write(f"{value}\n".encode("ascii"))
        file.flush()
        os.fsync(file.fileno())


def has_files(folder: Path) -> bool:
    """Whether the folder holds an original picture or a paper: anything that can't be made or had again."""
    others = REMADE + HAD_AGAIN
    try:
        rooms = [room for room in (folder / "files").iterdir() if room.is_dir() and room.name not in others]
    except OSError:
        return False
    return any(path.is_file() for room in rooms for path in room.rglob("*"))


def _contents() -> DatabaseContents:
    tables = set(connection.introspection.table_names())
    if not tables:
        return DatabaseContents.NOTHING
    if not {"django_migrations", "auth_user"} <= tables or not tables & set(WORKED_IN):
        return DatabaseContents.STRANGE
    with connection.cursor() as cursor:
        for table in sorted(tables & set(WORKED_IN)):
            cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(table)} LIMIT 1")
            if cursor.fetchone():
                return DatabaseContents.ROWS
    return DatabaseContents.NO_ROWS


def _knows_half(folder: Path) -> bool:
    """Whether the database has at least half of the originals that lie in the folder, by their digests."""
    there = {path.stem for path in (folder / "files" / "originals").rglob("*") if path.is_file()}
    known: set[str] = set()
    with connection.cursor() as cursor:
        for table in set(connection.introspection.table_names()) & set(WITH_PICTURES):
            cursor.execute(f"SELECT sha256 FROM {connection.ops.quote_name(table)}")
            known.update(row[0] for row in cursor.fetchall())
    return 2 * len(there & known) >= len(there)


def _database_id() -> str | None:
    table = CatalogueId._meta.db_table
    if table not in connection.introspection.table_names():
        return None
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT value FROM {connection.ops.quote_name(table)} WHERE id = 1")
        row = cursor.fetchone()
    return str(row[0]) if row else None
