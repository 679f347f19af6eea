"""What a backup says of itself: the small table of contents beside the payload, and what it lacks."""

import json
import sqlite3
from contextlib import closing
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from catalogue import __version__
from catalogue.exchange.backup.bagit import BagError

CONTENTS_FILE = "siltmark.json"
PROGRAM, BACKUP_FORMAT = "Siltmark", 1
# More than a hundred thousand pictures have.
MAX_BYTES = 64 * 1024 * 1024
# Tables whose rows name a picture by its digest, or a paper by its path below `files`.
PICTURE_TABLES = ("photos_photo", "photos_heldpicture", "photos_cardpicture", "care_benchphoto")
PAPER_TABLES = ("sites_permission",)


@dataclass(frozen=True, slots=True)
class BackupContents:
    """What a backup holds. `made` is a time in ISO 8601; `missing` and `damaged` name originals and papers.

    `migrations` are the steps of the database's history that were done, as `app.name`.
    """

    made: str
    catalogue_id: str
    finds: int
    pictures: int
    migrations: list[str]
    version: str = __version__
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)

    def as_json(self) -> str:
        """The text of the file."""
        return json.dumps(
            {"program": PROGRAM, "format": BACKUP_FORMAT, **asdict(self)}, indent=1, sort_keys=True
        )


def read_contents(content: bytes) -> BackupContents:
    """The table of contents of a backup. Raises BagError for anything that this program didn't write."""
    try:
        found: dict[str, Any] = json.loads(content)
        if found.pop("program") != PROGRAM:
            raise BagError("it is not a backup of this program")
        if found.pop("format") != BACKUP_FORMAT:
            raise BagError("it was made by a newer version of the program")
        contents = BackupContents(**found)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        if isinstance(error, BagError):
            raise
        raise BagError(f"its {CONTENTS_FILE} is not what this program writes") from None
    if not all(isinstance(name, str) for name in (contents.made, contents.catalogue_id, contents.version)):
        raise BagError(f"its {CONTENTS_FILE} is not what this program writes")
    return contents


@dataclass(frozen=True, slots=True)
class DatabaseFacts:
    """What a copied database says: its id, how many finds, its history, and the files that its rows name."""

    catalogue_id: str
    finds: int
    migrations: list[str]
    pictures: frozenset[str]
    papers: frozenset[str]


def database_facts(path: Path) -> DatabaseFacts:
    """Ask a SQLite file, without Django. Raises sqlite3.Error where it is no catalogue."""
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as direct:
        there = {name for (name,) in direct.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        row = direct.execute("SELECT value FROM access_catalogueid WHERE id = 1").fetchone()
        (finds,) = direct.execute(
            "SELECT count(*) FROM specimens_specimen WHERE binned_at IS NULL"
        ).fetchone()
        steps = [f"{app}.{name}" for app, name in direct.execute("SELECT app, name FROM django_migrations")]
        pictures = frozenset(
            digest
            for table in PICTURE_TABLES
            if table in there
            for (digest,) in direct.execute(f'SELECT sha256 FROM "{table}"')
        )
        papers = frozenset(
            name
            for table in PAPER_TABLES
            if table in there
            for (name,) in direct.execute(f"SELECT file FROM \"{table}\" WHERE file <> ''")
        )
    return DatabaseFacts(row[0] if row else "", finds, sorted(steps), pictures, papers)


def lacking(facts: DatabaseFacts, paths: set[str]) -> list[str]:
    """Originals and papers that rows name and that are not among the files of `paths` (below `files`)."""
    there = {path.rsplit("/", 1)[-1].split(".")[0] for path in paths if path.startswith("originals/")}
    return sorted([*(facts.pictures - there), *(facts.papers - paths)])
