"""The one writer of a find's derived columns: the dated answer, the maker shown."""

import logging
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.db import connections, router
from django.db.models import QuerySet
from django.utils import timezone

import dating
from catalogue.common.history_entries import note_history
from catalogue.specimens.clock import this_year
from catalogue.specimens.evidence import date_evidence, evidence_of, evidence_of_many
from catalogue.specimens.models import Maker, PhraseChange, Specimen
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.stored_answer import WAITING_ANSWER, WAITING_WORDS, columns_of
from catalogue.specimens.tables import current_reference, maker_shown

from .answers import Answers, Asked
from .batches import batches_of
from .entries import write_entries

log = logging.getLogger("siltmark.redating")
# The answer of the dating service as it is stored, the maker shown among it.
STORED = (
    "made_from",
    "made_to",
    "made_best",
    "made_words",
    "made_edtf",
    "made_ruler",
    "made_decades",
    "made_first",
    "made_last",
    "made_spread",
    "made_with",
    "made_in",
    "maker",
    "maker_how",
    "maker_probability",
)
NOTED = ("made_with", "made_in")
# What makes an answer another one.
ANSWER = tuple("maker_id" if name == "maker" else name for name in STORED if name not in NOTED)


def write_columns(rows: Iterable[tuple[int, Mapping[str, Any]]]) -> None:
    """Write the same columns of many finds, each its own values, past the history: nobody changed them."""
    rows = list(rows)
    if not rows:
        return
    store = connections[router.db_for_write(Specimen)]
    named = {field.name: field for field in Specimen._meta.concrete_fields}
    named |= {field.attname: field for field in Specimen._meta.concrete_fields}
    fields = {name: named[name] for name in rows[0][1]}
    quote = store.ops.quote_name
    columns = ", ".join(f"{quote(str(field.column))} = %s" for field in fields.values())
    table, key = quote(Specimen._meta.db_table), quote(str(Specimen._meta.pk.column))
    values = [
        [*(field.get_db_prep_save(row[name], store) for name, field in fields.items()), pk]
        for pk, row in rows
    ]
    with store.cursor() as cursor:
        cursor.executemany(f"UPDATE {table} SET {columns} WHERE {key} = %s", values)


def mark_stale(finds: QuerySet[Specimen]) -> None:
    """Have these finds dated anew at the next start, or when the worker is woken."""
    finds.update(made_with="")


def put_off(keys: Collection[int]) -> None:
    """Take the years off these finds: they say that these are being worked out until the worker did it.

    What is left when the program ends is found again at the next start, as it was dated with no tables.
    """
    for part in batches_of(keys):
        Specimen.everything.filter(pk__in=part).update(**WAITING_ANSWER)


def redate(find: Specimen, *, reference: dating.Reference | None = None) -> Specimen:
    """Refresh the stored window and maker of one find from its stored evidence, and save them.

    The history keeps it, as what a person did to the find brought it about.
    """
    reference = reference or current_reference()
    evidence = evidence_of(find)
    finding = date_evidence(evidence, reasons=False, reference=reference)
    # The reasons themselves are left out, so they can't tell whether there was anything to go by.
    answer = _answer_of(finding, reference, evidence.maker_opinion, evidence.says_something())
    for name, value in answer.items():
        setattr(find, name, value)
    find.save(update_fields=STORED)
    return find


def _answer_of(
    finding: dating.Finding, reference: dating.Reference, opinion: Maker | None, informed: bool
) -> dict[str, Any]:
    """An answer as the columns in `STORED` keep it. `informed`: whether there was anything to go by."""
    shown = maker_shown(finding, opinion)
    return columns_of(finding, informed) | {
        "made_with": reference.version,
        "maker": shown.maker,
        "maker_how": shown.how,
        "maker_probability": shown.probability,
    }


def redate_touched(keys: Collection[int]) -> int:
    """Redate what a person changed: kept in the history, where the answer is another."""
    if not keys:
        return 0
    reference, changed = current_reference(), 0
    with Answers(reference) as answers:
        for part in batches_of(keys):
            same, different = [], []
            for asked in answers.ask(evidence_of_many(part)):
                find, answer = asked.find, answers.about(asked)
                if any(getattr(find, name) != answer[name] for name in ANSWER):
                    changed += _other_phrase(find, answer)
                    different.append((find.pk, answer))
                else:
                    noted = {name: answer[name] for name in ("made_with", "made_in")}
                    same.append((find.pk, noted))
            write_columns(same)
            _write_touched(different)
    return changed


def _other_phrase(find: Specimen, answer: Mapping[str, Any]) -> bool:
    """Whether a phrase that people may have read is another one now."""
    return find.made_words not in ("", WAITING_WORDS) and find.made_words != answer["made_words"]


def _write_touched(different: list[tuple[int, dict[str, Any]]]) -> None:
    """Other answers of finds that a person changed, with an entry in the history of each. Two queries."""
    now = timezone.now()
    write_columns([(pk, {**answer, "changed": now}) for pk, answer in different])
    note_history(Specimen, [pk for pk, _ in different])


def write_answers(batch: list[Asked], answers: Answers, reference: dating.Reference) -> int:
    """Write only answers that differ; how many phrases changed. The history keeps those that were put off."""
    different, phrases = [], []
    # the name of the maker shown is among what search reads
    renamed = []
    undatable = set()
    for asked in batch:
        find = asked.find
        try:
            answer = answers.about(asked)
        except dating.CaseError as error:
            # One that can't be dated keeps what it has, and keeps nobody else waiting.
            log.warning("%s can't be dated afresh: %s", find.number, error)
            undatable.add(find.pk)
            continue
        if any(getattr(find, name) != answer[name] for name in ANSWER):
            different.append((find.pk, answer))
        if find.maker_id != answer["maker_id"]:
            renamed.append(find.pk)
        if _other_phrase(find, answer):
            phrases.append(
                PhraseChange(
                    find_id=find.pk,
                    was=find.made_words,
                    now=answer["made_words"],
                    tables=reference.version,
                )
            )
    waited = {asked.find.pk for asked in batch if asked.find.made_words == WAITING_WORDS}
    write_columns([(pk, answer) for pk, answer in different if pk not in waited])
    _write_touched([(pk, answer) for pk, answer in different if pk in waited])
    PhraseChange.objects.bulk_create(phrases)
    write_entries(FIND, renamed)
    settled = undatable | {pk for pk, _ in different}
    same = [asked.find.pk for asked in batch if asked.find.pk not in settled]
    Specimen.everything.filter(pk__in=same).update(made_with=reference.version, made_in=this_year())
    return len(phrases)
