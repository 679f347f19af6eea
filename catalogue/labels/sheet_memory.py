"""Which sheets there are, where the last print on each ended, and how each kind was printed."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from catalogue.common.limits import key_typed
from catalogue.labels.cut_sheets import CUT_SHEETS, ROLLS
from catalogue.labels.label_text import LABEL_KINDS, LabelKind
from catalogue.labels.models import OWN_SHEET, KindUse, OwnSheet, SheetUse
from catalogue.labels.sheets import SHEETS, Sheet, SheetError

USUAL_KIND = "shelf"
PRINTS_KNOWN = 20  # of a sheet: a page left open longer than that is printed as something new


def sheet_of(key: str) -> Sheet:
    """The sheet of a key, one's own among them. Raises SheetError where there is none, or can't be."""
    for known in (SHEETS, CUT_SHEETS, ROLLS):
        if key in known:
            return known[key]
    number = key.removeprefix(OWN_SHEET)
    own = None
    if key != number and (pk := key_typed(number)) is not None:
        own = OwnSheet.objects.filter(pk=pk).first()
    if own is None:
        raise SheetError(key, "there is no such sheet any more: choose another one", "sheet")
    return own.as_sheet()


def sheet_groups() -> list[tuple[str, list[tuple[str, str]]]]:
    """Every sheet by what it is: the heading, then key and name of each. One query."""
    own = [(each.key, f"{each.name}: {each.words}") for each in OwnSheet.objects.all()]
    tables = (("Sheets of labels", SHEETS), ("Paper to cut apart", CUT_SHEETS), ("Rolls", ROLLS))
    groups = [(words, [(s.key, s.name) for s in known.values()]) for words, known in tables]
    return [("Your own", own), *groups] if own else groups


@dataclass(frozen=True, slots=True)
class Remembered:
    """How a kind is printed unless somebody says otherwise."""

    kind: LabelKind
    sheet: str
    outlines: bool


def usual_print(kind: str = "") -> Remembered:
    """As that kind was printed last, or the kind that was; one never printed as it is usual. One query."""
    uses = list(KindUse.objects.filter(kind__in=[kind] if kind in LABEL_KINDS else list(LABEL_KINDS))[:1])
    if not uses:
        usual = LABEL_KINDS[kind if kind in LABEL_KINDS else USUAL_KIND]
        return Remembered(usual, usual.usual_sheet, False)
    use = uses[0]
    usual = LABEL_KINDS[use.kind]
    return Remembered(usual.with_parts(use.parts), use.sheet, use.outlines)


def use_of(sheet: str) -> SheetUse:
    """What is remembered of a sheet; unsaved where nothing was printed on it. One query."""
    return SheetUse.objects.filter(sheet=sheet).first() or SheetUse(sheet=sheet)


def print_digest(what: Mapping[str, Any], keys: Sequence[object]) -> str:
    """By what a reprint is known: the same pieces in the same way from the same label on."""
    return hashlib.sha256(json.dumps([what, list(keys)], sort_keys=True, default=str).encode()).hexdigest()


@transaction.atomic
def note_print(
    sheet: Sheet,
    kind: LabelKind,
    *,
    start_at: int,
    count: int,
    digest: str,
    shift: tuple[float, float],
    outlines: bool,
) -> None:
    """Remember a print: the sheet goes on behind its last label, unless the same was printed before."""
    SheetUse.objects.get_or_create(sheet=sheet.key)
    use = SheetUse.objects.select_for_update().get(sheet=sheet.key)
    use.right_mm, use.down_mm = shift
    if digest not in use.prints:
        use.prints = [*use.prints, digest][-PRINTS_KNOWN:]
        use.last_from, use.last_count = start_at, count
        use.next_label = (start_at - 1 + count) % sheet.per_page + 1
        use.printed_at = timezone.now()
    use.save()
    KindUse.objects.update_or_create(
        kind=kind.key,
        defaults={"sheet": sheet.key, "parts": sorted(kind.parts), "outlines": outlines},
    )


@transaction.atomic
def set_back(sheet: str) -> SheetUse:
    """The labels printed last are there again: the print failed, or a fresh sheet lies there."""
    use = SheetUse.objects.select_for_update().filter(sheet=sheet).first()
    if use is None:
        return SheetUse(sheet=sheet)
    if use.last_count:
        use.next_label, use.last_count, use.prints = use.last_from, 0, use.prints[:-1]
    use.save()
    return use
