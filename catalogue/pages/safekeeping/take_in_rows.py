"""The rows of a dry run as the page shows them: of one kind, thirty at a time."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpRequest

from catalogue.exchange.models import TakeIn
from catalogue.exchange.takein.dry_run import verdicts_of
from catalogue.exchange.takein.judge_sheet import KINDS_OF_VERDICT

ROWS_A_PAGE = 30
REASONS_SHOWN = 8
KIND_LABELS = {
    "refused": "can't be taken in",
    "new": "new",
    "changed": "change a find on record",
    "same": "say what is on record",
    "here": "were taken in before",
}


@dataclass(frozen=True, slots=True)
class RowsShown:
    """One page of verdicts; `tabs` are the kinds that there are, with how many rows are of each."""

    kind: str
    label: str
    tabs: list[tuple[str, str, int]]
    page: "Page[Any]"
    good: int
    refused: int
    # What keeps several rows out, each with how many: one thing put right in the sheet lets all of them in.
    reasons: list[tuple[str, int]]


def rows_shown(request: HttpRequest, take_in: TakeIn) -> RowsShown | None:
    """The page that the address asks for; refused rows first where there are any."""
    verdicts = verdicts_of(take_in)
    if verdicts is None:
        return None
    counts = {kind: take_in.counts.get(kind, 0) for kind in KINDS_OF_VERDICT}
    tabs = [(kind, label, counts[kind]) for kind, label in KIND_LABELS.items() if counts[kind]]
    kind = request.GET.get("kind", "")
    if kind not in {tab[0] for tab in tabs}:
        kind = tabs[0][0] if tabs else "new"
    page = Paginator([each for each in verdicts if each["kind"] == kind], ROWS_A_PAGE).get_page(
        request.GET.get("page")
    )
    return RowsShown(
        kind,
        KIND_LABELS[kind],
        tabs,
        page,
        counts["new"] + counts["changed"],
        counts["refused"],
        _reasons(verdicts),
    )


def _reasons(verdicts: list[dict[str, Any]]) -> list[tuple[str, int]]:
    """What keeps more than one row out, with its column, the most frequent first; the few first of them."""
    counted = Counter(
        f"{f'{letters}, {heading}: ' if letters else ''}{why}"
        for each in verdicts
        if each["kind"] == "refused"
        for letters, heading, why in each["problems"]
    )
    return [(why, count) for why, count in counted.most_common(REASONS_SHOWN) if count > 1]
