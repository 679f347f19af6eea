"""Consistency check of derived columns: work them out again, compare with what is stored, mend."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Max

from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, DiveSeries
from catalogue.specimens.evidence import evidence_of_many
from catalogue.specimens.models import NumberSeries, Specimen, Town
from catalogue.specimens.numbers import read_number
from catalogue.specimens.reference_makers import bring_in_reference_makers, missing_makers
from catalogue.specimens.search.index import index_agrees, mend_index
from catalogue.specimens.search.kinds import FIND, KINDS
from catalogue.specimens.tables import current_reference

from .above import differences_above, refresh_above
from .answers import Answers
from .batches import BATCH, batches_of
from .entries import differing_entries, keys_with_entries, write_entries
from .redating import redate_keys
from .town_keys import write_town_keys
from .word_list import differing_words, mend_words, words_under_wrong_keys
from .writer import STORED, write_columns

NUMBER_KEY = ("number_year", "number_ordinal", "number_piece", "number_part")


@dataclass(frozen=True, slots=True)
class Difference:
    """One stored value that is not what it should be; `of` is a find's number, or what else it belongs to."""

    of: str
    column: str
    stored: Any
    expected: Any


def differences(keys: Collection[int]) -> Iterator[Difference]:
    """What is stored wrongly on the finds with these keys. Eleven queries for each batch of 500."""
    reference = current_reference()
    with Answers(reference, len(keys)) as answers:
        for part in batches_of(keys):
            found = {}
            for asked in answers.ask(evidence_of_many(part)):
                found[asked.find.pk] = answers.about(asked)
            for find in Specimen.everything.filter(pk__in=part):
                if answer := found.get(find.pk):
                    yield from _of_find(find, answer)
            for number, column, stored, expected in differences_above(part):
                yield Difference(number, column, stored, expected)
            numbers = dict(Specimen.everything.filter(pk__in=part).values_list("pk", "number"))
            for key, held, wanted in differing_entries(FIND, part):
                yield Difference(numbers.get(key, str(key)), "search entry", held, wanted)


def _of_find(find: Specimen, answer: dict[str, Any]) -> Iterator[Difference]:
    written = read_number(find.number)
    if written is not None:
        key = (written.year, written.ordinal, written.piece, written.part)
        for column, expected in zip(NUMBER_KEY, key, strict=True):
            if getattr(find, column) != expected:
                yield Difference(find.number, column, getattr(find, column), expected)
    for column in STORED:
        name = "maker_id" if column == "maker" else column
        if getattr(find, name) != answer[name]:
            yield Difference(find.number, column, getattr(find, name), answer[name])


def differences_elsewhere() -> Iterator[Difference]:
    """What is stored wrongly of places, towns, number series, published makers, and what the search reads."""
    for place in Place.everything.select_related("parent").order_by("pk").iterator(BATCH):
        if place.path != place.path_now():
            yield Difference(f"place {place.name}", "path", place.path, place.path_now())
    for town in Town.everything.order_by("pk").iterator(BATCH):
        if town.key != town.key_now():
            yield Difference(f"town {town.name}", "key", town.key, town.key_now())
    for year, ordinal, last, given in _series_behind():
        yield Difference(f"numbers {year}.{ordinal}", "last", last, given)
    for year, last, given in _dives_behind():
        yield Difference(f"dives of {year}", "last", last, given)
    for name in missing_makers().values():
        yield Difference(f"maker {name['name']}", "reference_key", "", "in the published tables")
    for kind in KINDS:
        if kind is not FIND:
            for part in batches_of(keys_with_entries(kind)):
                for key, held, wanted in differing_entries(kind, part):
                    yield Difference(f"{kind.key} {key}", "search entry", held, wanted)
    for word, count, there in differing_words():
        yield Difference(f"word {word}", "entries", count, there)
    for word in words_under_wrong_keys():
        yield Difference(f"word {word}", "keys", "others", "those of its letters")
    if not index_agrees():
        yield Difference("search index", "text", "another text", "what the entries hold")


def mend(keys: Collection[int]) -> None:
    """Write what should be stored, for these finds and elsewhere. A changed phrase is listed as one."""
    for part in batches_of(keys):
        rows = []
        for pk, number in Specimen.everything.filter(pk__in=part).values_list("pk", "number"):
            if written := read_number(number):
                key = (written.year, written.ordinal, written.piece, written.part)
                rows.append((pk, dict(zip(NUMBER_KEY, key, strict=True))))
        write_columns(rows)
    _mend_elsewhere()
    mend_index()
    for _done in redate_keys(keys):
        pass
    write_entries(FIND, keys)
    mend_words()
    refresh_above(keys)


def _mend_elsewhere() -> None:
    bring_in_reference_makers()
    for kind in KINDS:
        write_entries(kind, keys_with_entries(kind))
    # From the top down: a path is its parent's and a name.
    for place in Place.everything.filter(parent=None):
        _mend_paths(place)
    write_town_keys(Town.everything.all())
    for year, ordinal, _, given in _series_behind():
        NumberSeries.objects.update_or_create(year=year, ordinal=ordinal, defaults={"last": given})
    for year, _, given in _dives_behind():
        DiveSeries.objects.update_or_create(year=year, defaults={"last": given})


def _mend_paths(place: Place) -> None:
    if place.path != place.path_now():
        place.save(update_fields=["path"])
    for part in Place.everything.filter(parent=place):
        part.parent = place
        _mend_paths(part)


def _series_behind() -> list[tuple[int, int, int, int]]:
    """Year, ordinal, last piece given by the series, greatest piece there is: where the series is behind."""
    last = {(s.year, s.ordinal): s.last for s in NumberSeries.objects.all()}
    pieces = Specimen.everything.order_by().values_list("number_year", "number_ordinal")
    rows = pieces.annotate(greatest=Max("number_piece"))
    return [(y, o, last.get((y, o), 0), top) for y, o, top in rows if top > last.get((y, o), 0)]


def _dives_behind() -> list[tuple[int, int, int]]:
    """Year, last ordinal given, greatest there is."""
    last = dict(DiveSeries.objects.values_list("year", "last"))
    rows = Dive.everything.order_by().values_list("year").annotate(greatest=Max("ordinal"))
    return [(y, last.get(y, 0), top) for y, top in rows if top > last.get(y, 0)]
