"""The one writer of a find's derived columns: the dated answer, the maker shown, the search text."""

import logging
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from django.db import connections, router
from django.db.models import Prefetch, QuerySet
from django.utils import timezone

import dating
from catalogue.common.bulk_history import note_history
from catalogue.common.text import folded
from catalogue.specimens.clock import this_year
from catalogue.specimens.evidence import date_evidence, evidence_of, evidence_of_many
from catalogue.specimens.models import Inscription, Maker, MarkReading, Opinion, PhraseChange, Specimen
from catalogue.specimens.stored_answer import columns_of
from catalogue.specimens.tables import current_reference, maker_shown

from .answers import Answers, Asked

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
# Finds read and written at once.
BATCH = 500


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
                    changed += bool(find.made_words) and find.made_words != answer["made_words"]
                    different.append((find.pk, answer))
                else:
                    noted = {name: answer[name] for name in ("made_with", "made_in")}
                    same.append((find.pk, noted))
            write_columns(same)
            _write_touched(different)
    return changed


def _write_touched(different: list[tuple[int, dict[str, Any]]]) -> None:
    """Other answers of finds that a person changed, with an entry in the history of each. Two queries."""
    now = timezone.now()
    write_columns([(pk, {**answer, "changed": now}) for pk, answer in different])
    note_history(Specimen, [pk for pk, _ in different])


def write_answers(batch: list[Asked], answers: Answers, reference: dating.Reference) -> int:
    """Write only answers that differ; how many phrases changed."""
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
    refresh_search_of(renamed)
    settled = undatable | {pk for pk, _ in different}
    same = [asked.find.pk for asked in batch if asked.find.pk not in settled]
    Specimen.everything.filter(pk__in=same).update(made_with=reference.version, made_in=this_year())
    return len(phrases)


def refresh_search(find: Specimen) -> Specimen:
    """Bring the search text of one find up to date and write it, past the history."""
    find.search_text = search_text(find)
    write_columns([(find.pk, {"search_text": find.search_text})])
    return find


def refresh_search_of(keys: Collection[int]) -> int:
    """Bring the search texts of many finds up to date; four queries a batch. How many were another text."""
    changed = 0
    for part in batches_of(keys):
        texts = [(find, search_text(find)) for find in with_search_parts(part)]
        other = [(find.pk, {"search_text": text}) for find, text in texts if text != find.search_text]
        write_columns(other)
        changed += len(other)
    return changed


def with_search_parts(keys: Collection[int]) -> Iterable[Specimen]:
    """Finds, the bin included, with all that `search_text` reads of them."""
    return (
        Specimen.everything.filter(pk__in=keys)
        .select_related("product", "bottler", "town", "maker", "dive__site", "site", "place")
        .prefetch_related(
            Prefetch("inscriptions", Inscription.objects.only("find", "text")),
            Prefetch("readings", MarkReading.objects.only("find", "letters")),
            Prefetch("opinions", Opinion.objects.only("find", "value", "reason")),
        )
        .defer("made_ruler", "made_spread", "made_decades", "care_flags")
    )


def search_text(find: Specimen) -> str:
    """Number, words, inscriptions, readings, maker, bottler, product, town, site and place, folded."""
    parts: list[str] = [
        find.number,
        find.older_numbers,
        find.field_tag,
        find.what,
        find.get_kind_display(),
        find.get_contents_display(),
        find.get_colour_display(),
        find.where_on_site,
        find.found_with,
        find.notes,
        find.story,
        str(find.product or ""),
        str(find.bottler or ""),
        str(find.town or ""),
        str(find.maker or ""),
        str(find.where_found or ""),
        str(find.place or ""),
    ]
    parts += [i.text.replace("/", " ") for i in find.inscriptions.all()]
    parts += [r.letters for r in find.readings.all()]
    parts += [f"{o.value} {o.reason}" for o in find.opinions.all()]
    return " ".join(dict.fromkeys(folded(part) for part in parts if part))


def batches_of(keys: Collection[int], size: int = BATCH) -> Iterator[list[int]]:
    """The keys in order, so many at a time: no query names more than a store takes."""
    ordered = sorted(keys)
    for start in range(0, len(ordered), size):
        yield ordered[start : start + size]
