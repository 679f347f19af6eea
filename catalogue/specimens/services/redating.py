"""Redating many finds: after a change of the tables, of a maker, or of the year."""

from collections.abc import Iterator
from dataclasses import dataclass
from threading import Event

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

import dating
from catalogue.specimens.models import PhraseChange, Specimen
from catalogue.specimens.tables import current_reference

from .ahead import Ahead
from .answers import Answers, Asked
from .many import write_columns
from .redate import STORED

BATCH = 500
NOTED = ("made_with", "made_in")
# What makes an answer another one.
ANSWER = tuple("maker_id" if name == "maker" else name for name in STORED if name not in NOTED)


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
    _note_new_year(current_reference())
    yield from redate_all(stale(), batch=batch, stop=stop)


def redate_all(
    finds: QuerySet[Specimen], *, batch: int = BATCH, stop: Event | None = None
) -> Iterator[Progress]:
    """Redate the finds of a query; the same as `redate_stale` for any choice of them."""
    reference = current_reference()
    keys = list(finds.order_by("pk").values_list("pk", flat=True).distinct())
    batches = [keys[start : start + batch] for start in range(0, len(keys), batch)]
    done = changed = 0
    with Answers(reference, len(keys)) as answers:
        ahead = Ahead(batches, answers)
        for part in batches:
            if stop is not None and stop.is_set():
                return
            ahead.read_on()
            with transaction.atomic():
                changed += _write(ahead.asked(part), answers, reference)
            done += len(part)
            with ahead.watching():
                yield Progress(done, len(keys), changed)


def redate_many(finds: QuerySet[Specimen], *, batch: int = BATCH) -> Iterator[int]:
    """Redate the finds of a query, yielding how many are done."""
    for progress in redate_all(finds, batch=batch):
        yield progress.done


def _write(batch: list[Asked], answers: Answers, reference: dating.Reference) -> int:
    """Write only answers that differ; how many phrases changed."""
    different, phrases = [], []
    for asked in batch:
        find, answer = asked.find, answers.about(asked)
        if any(getattr(find, name) != answer[name] for name in ANSWER):
            different.append((find.pk, answer))
        if find.made_words and find.made_words != answer["made_words"]:
            phrases.append(
                PhraseChange(
                    find_id=find.pk,
                    was=find.made_words,
                    now=answer["made_words"],
                    tables=reference.version,
                )
            )
    write_columns(different)
    PhraseChange.objects.bulk_create(phrases)
    written = {pk for pk, _ in different}
    same = [asked.find.pk for asked in batch if asked.find.pk not in written]
    Specimen.everything.filter(pk__in=same).update(
        made_with=reference.version, made_in=timezone.localdate().year
    )
    return len(phrases)


def note_untouched(reference: dating.Reference) -> None:
    """After a change of marks alone: finds without a reading and without an opinion can't have changed."""
    untouched = stale(reference).filter(readings__isnull=True, opinions__isnull=True)
    untouched.filter(made_in=timezone.localdate().year).update(made_with=reference.version)


def _note_new_year(reference: dating.Reference) -> None:
    """A find that came up on a dive was made before it, in whatever year one asks: its answer stays."""
    year = timezone.localdate().year
    same_tables = Specimen.everything.filter(made_with=reference.version, made_in__lt=year)
    same_tables.filter(dive__isnull=False).update(made_in=year)


def latest_changes(limit: int = 200) -> QuerySet[PhraseChange]:
    """What redating changed, newest first, each with its find."""
    return PhraseChange.objects.filter(~Q(was=F("now"))).select_related("find")[:limit]
