"""The tag files of a backup: declaration, info, manifests and the table of contents, as text by name."""

import hashlib
from collections.abc import Iterable, Mapping
from datetime import datetime

from catalogue.exchange.backup import bagit
from catalogue.exchange.backup.contents import CONTENTS_FILE, BackupContents, DatabaseFacts, lacking
from catalogue.exchange.backup.payload import FILES_PREFIX


def contents_of(
    facts: DatabaseFacts, made: datetime, paths: set[str], *, damaged: list[str]
) -> BackupContents:
    """The table of contents of a backup whose payload has these paths."""
    kept = {path.removeprefix(FILES_PREFIX) for path in paths if path.startswith(FILES_PREFIX)}
    return BackupContents(
        made=made.isoformat(timespec="seconds"),
        catalogue_id=facts.catalogue_id,
        finds=facts.finds,
        pictures=len(facts.pictures),
        migrations=facts.migrations,
        missing=lacking(facts, kept),
        damaged=damaged,
    )


def tag_files(
    contents: BackupContents, made: datetime, digests: Mapping[str, str], lengths: Iterable[int]
) -> dict[str, str]:
    """Every tag file by name, the tag manifest last."""
    texts = {
        bagit.DECLARATION_FILE: bagit.DECLARATION,
        bagit.INFO_FILE: bagit.info(
            [
                ("Bag-Software-Agent", f"Siltmark {contents.version}"),
                ("Bagging-Date", f"{made:%Y-%m-%d}"),
                ("External-Identifier", contents.catalogue_id),
                ("Payload-Oxum", bagit.payload_oxum(lengths)),
            ]
        ),
        bagit.MANIFEST_FILE: bagit.manifest(digests),
        CONTENTS_FILE: contents.as_json(),
    }
    tags = {name: hashlib.sha256(text.encode()).hexdigest() for name, text in texts.items()}
    return {**texts, bagit.TAG_MANIFEST_FILE: bagit.manifest(tags)}
