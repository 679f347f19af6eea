"""A sheet and its verdicts as they are stored with the import: JSON, compressed."""

import hashlib
import json
import zlib
from datetime import timedelta
from typing import Any

from django.utils import timezone

from catalogue.exchange.models import KnownHeadings, TakeIn

from .answers import SheetAnswers
from .cell_digests import headings_digest
from .matching import SheetColumnGuess, guess_columns, keys_chosen
from .sheet import ReadSheet, SheetRow

# Begun and never written: dropped after so long.
KEPT_BEGUN = timedelta(days=60)


def begin_take_in(name: str, data: bytes, sheet: ReadSheet) -> TakeIn:
    """Keep the cells; what was said of the same headings before is what it begins with.

    What was begun long ago and never written is dropped.
    """
    TakeIn.objects.filter(done_at=None, at__lt=timezone.now() - KEPT_BEGUN).delete()
    digest = headings_digest(sheet.headings)
    known = KnownHeadings.objects.filter(digest=digest).first()
    cells = {
        "headings": sheet.headings,
        "letters": sheet.letters,
        "notes": sheet.notes,
        "rows": [[row.number, *row.cells] for row in sheet.rows],
    }
    return TakeIn.objects.create(
        name=name[-200:],
        file_digest=hashlib.sha256(data).hexdigest(),
        headings_digest=digest,
        cells=packed_json(cells),
        row_count=len(sheet.rows),
        answers=known.answers if known else {},
        columns_said=known is not None,
    )


def sheet_of_take_in(take_in: TakeIn) -> ReadSheet:
    """The cells as they were read."""
    cells = unpacked_json(take_in.cells)
    rows = tuple(SheetRow(row[0], tuple(row[1:])) for row in cells["rows"])
    return ReadSheet(tuple(cells["headings"]), tuple(cells["letters"]), rows, tuple(cells["notes"]))


def columns_of(take_in: TakeIn, sheet: ReadSheet) -> tuple[list[SheetColumnGuess], dict[int, str]]:
    """The columns as they were guessed, and what each is as far as a person said so."""
    guesses = guess_columns(sheet)
    answers = SheetAnswers.of_stored(take_in.answers)
    return guesses, keys_chosen(guesses, answers.columns)


def remember(take_in: TakeIn, answers: SheetAnswers) -> None:
    """Keep what was said for the next file with the same headings."""
    KnownHeadings.objects.update_or_create(
        digest=take_in.headings_digest, defaults={"answers": answers.remembered()}
    )


def packed_json(value: Any) -> bytes:
    """JSON, compressed."""
    return zlib.compress(json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode())


def unpacked_json(data: bytes | memoryview) -> Any:
    """What `packed_json` was given; None of nothing."""
    return json.loads(zlib.decompress(bytes(data))) if data else None
