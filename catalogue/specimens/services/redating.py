"""Redating many finds: after a change of the tables, of a maker, or of the year."""

from collections.abc import Iterator
from dataclasses import dataclass
from threading import Event

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

import dating
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import PhraseChange, Specimen
from catalogue.specimens.tables import current_reference

from .redate import PREFETCHED, RELATED, STORED, date_evidence, store_answer

BATCH = 500
NOTED = ("made_with", "made_in")
ANSWER = tuple(name for name in STORED if name not in NOTED)


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a redating is: finds done, of how many, and how many phrases changed so far."""

    done: int
    total: int
    changed: int


def stale(reference: dating.Reference | None = None) -> QuerySet[Specimen]:
    """Finds whose stored answer was computed with other tables or in another year, the bin included."""
    reference = reference or current_reference()
    year = timezone.localdate().year
    old = ~Q(made_with=reference.version) | Q(made_in__isnull=True) | ~Q(made_in=year)
    return Specimen.everything.filter(old)


def redate_stale(*, batch: int = BATCH, stop: Event | None = None) -> Iterator[Progress]:
    """Redate what is stale, a batch at a time; each batch is kept, so an interrupted run goes on later.

    A find redated here leaves no trace in its history, nobody changed it; a changed phrase is written down
    as a `PhraseChange`. Stops after a batch once `stop` is set.
    """
    yield from redate_all(stale(), batch=batch, stop=stop)


def redate_all(
    finds: QuerySet[Specimen], *, batch: int = BATCH, stop: Event | None = None
) -> Iterator[Progress]:
    """Redate the finds of a query; the same as `redate_stale` for any choice of them."""
    reference = current_reference()
    keys = list(finds.order_by("pk").values_list("pk", flat=True).distinct())
    changed = 0
    for start in range(0, len(keys), batch):
        if stop is not None and stop.is_set():
            return
        changed += _redate_batch(keys[start : start + batch], reference)
        yield Progress(min(start + batch, len(keys)), len(keys), changed)


def redate_many(finds: QuerySet[Specimen], *, batch: int = BATCH) -> Iterator[int]:
    """Redate the finds of a query, yielding how many are done."""
    for progress in redate_all(finds, batch=batch):
        yield progress.done


@transaction.atomic
def _redate_batch(keys: list[int], reference: dating.Reference) -> int:
    """Date each anew, write only answers that differ; how many phrases changed."""
    finds = (
        Specimen.everything.filter(pk__in=keys)
        .select_related(*RELATED)
        .prefetch_related(*PREFETCHED)
        .defer("notes", "story", "search_text")
    )
    different, phrases = [], []
    for find in finds:
        before = [getattr(find, _column(name)) for name in ANSWER]
        was = find.made_words
        evidence = evidence_of(find)
        store_answer(find, evidence, date_evidence(evidence, reasons=False, reference=reference), reference)
        if [getattr(find, _column(name)) for name in ANSWER] != before:
            different.append(find)
        if was and find.made_words != was:
            phrases.append(PhraseChange(find=find, was=was, now=find.made_words, tables=reference.version))
    Specimen.everything.bulk_update(different, ANSWER, batch_size=100)
    PhraseChange.objects.bulk_create(phrases)
    Specimen.everything.filter(pk__in=keys).update(
        made_with=reference.version, made_in=timezone.localdate().year
    )
    return len(phrases)


def note_untouched(reference: dating.Reference) -> None:
    """After a change of marks alone: finds without a reading and without an opinion can't have changed."""
    untouched = stale(reference).filter(readings__isnull=True, opinions__isnull=True)
    untouched.filter(made_in=timezone.localdate().year).update(made_with=reference.version)


def latest_changes(limit: int = 200) -> QuerySet[PhraseChange]:
    """What redating changed, newest first, each with its find."""
    return PhraseChange.objects.filter(~Q(was=F("now"))).select_related("find")[:limit]


def _column(name: str) -> str:
    return "maker_id" if name == "maker" else name
