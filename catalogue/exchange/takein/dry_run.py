"""The dry run of a sheet: what each row would do, stored so that its pages and its writing say the same."""

import hashlib
import json
from collections.abc import Callable, Sequence
from typing import Any

from django.utils import timezone

from catalogue.exchange.models import TakeIn

from .answers import SheetAnswers
from .judge_sheet import RowVerdict, counts_of, judge_sheet
from .stored_sheet import columns_of, packed_json, sheet_of_take_in, unpacked_json


def run_dry(take_in: TakeIn, step: Callable[[int, int], None] = lambda done, total: None) -> None:
    """Judge every row and keep the verdicts."""
    sheet = sheet_of_take_in(take_in)
    _, keys = columns_of(take_in, sheet)
    verdicts = judge_sheet(
        sheet,
        keys,
        SheetAnswers.of_stored(take_in.answers),
        timezone.localdate(),
        pictures=take_in.pictures,
        step=lambda count: step(count, len(sheet.rows)),
    )
    store_verdicts(take_in, verdicts)
    take_in.save(update_fields=["verdicts", "verdicts_digest", "counts"])


def store_verdicts(take_in: TakeIn, verdicts: Sequence[RowVerdict]) -> None:
    """Put them into the row, unsaved."""
    data = packed_json([verdict.to_store() for verdict in verdicts])
    take_in.verdicts, take_in.counts = data, counts_of(verdicts)
    # The same verdicts by other answers are not the same: the notes, for one, would be others.
    said = json.dumps([take_in.answers, take_in.pictures], sort_keys=True).encode()
    take_in.verdicts_digest = hashlib.sha256(data + said).hexdigest()


def forget_verdicts(take_in: TakeIn) -> None:
    """What was said of the sheet has changed: its rows are to be judged anew."""
    take_in.verdicts, take_in.verdicts_digest, take_in.counts = b"", "", {}


def verdicts_of(take_in: TakeIn) -> list[dict[str, Any]] | None:
    """The verdicts as they are stored; None before the dry run."""
    found: list[dict[str, Any]] | None = unpacked_json(take_in.verdicts)
    return found
