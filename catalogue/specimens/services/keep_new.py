"""Many new finds at once, kept whole or not at all, in a few statements for some hundreds of them.

The rules are those of `keep_find`: what they rest on is held, numbers come from their series, each row has
its history, and all that follows is worked out.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model
from django.utils import timezone

from catalogue.common.history_entries import CREATED_MARK, note_history
from catalogue.common.records import hold_below
from catalogue.specimens.derived.refresh import note_finds, refreshing
from catalogue.specimens.derived.rules import Feeds
from catalogue.specimens.models import Move, Opinion, Specimen
from catalogue.specimens.numbers import Number, give_numbers, put_number, take_number

from .keep import Parts

# SQLite takes so many values in one statement; a find has some sixty columns.
ROWS_A_STATEMENT = 300
FOLLOWS = Feeds.YEARS | Feeds.SEARCH | Feeds.ABOVE


@dataclass(slots=True)
class NewFind:
    """A find that is not kept yet, what was read on it, what is thought of it, and a number of its own."""

    find: Specimen
    parts: Parts = field(default_factory=Parts)
    opinions: Sequence[Opinion] = ()
    number: Number | None = None


@refreshing()
def keep_new_finds(news: Sequence[NewFind]) -> None:
    """Keep them, in their order. Raises PutInBinMeanwhile where what one of them rests on lies in the bin."""
    finds = [new.find for new in news]
    _hold(finds)
    _number(news)
    _create(Specimen, finds)
    rows: dict[type[Model], list[Any]] = defaultdict(list)
    for new in news:
        parts = new.parts
        read = (parts.inscriptions, parts.readings, parts.features, parts.known, new.opinions)
        row: Any
        for row in (row for several in read for row in several or ()):
            row.find = new.find
            rows[type(row)].append(row)
    for model, made in rows.items():
        _create(model, made)
    moves = [Move(find=find, to_place_id=find.place_id, why="first place") for find in finds if find.place_id]
    Move.objects.bulk_create(moves, ROWS_A_STATEMENT)
    note_finds([find.pk for find in finds], FOLLOWS, touched=True)


def _hold(finds: Sequence[Specimen]) -> None:
    held: set[tuple[str, int]] = set()
    for find in finds:
        for column in find.RESTS_ON:
            key = getattr(find, f"{column}_id")
            if key is not None and (column, key) not in held:
                hold_below(find, column)
                held.add((column, key))


def _number(news: Sequence[NewFind]) -> None:
    """Numbers of their own first, so that the series goes on after them."""
    largest: dict[tuple[int, int], Number] = {}
    for new in news:
        if new.number:
            series = (new.number.year, new.number.ordinal)
            if series not in largest or largest[series].piece < new.number.piece:
                largest[series] = new.number
    for number in largest.values():
        take_number(number)
    wanted: dict[tuple[int, int], list[Specimen]] = defaultdict(list)
    for new in news:
        if new.number:
            put_number(new.find, new.number)
        else:
            dive = new.find.dive
            wanted[(dive.year, dive.ordinal) if dive else (timezone.localdate().year, 0)].append(new.find)
    for (year, ordinal), finds in wanted.items():
        for find, number in zip(finds, give_numbers(year, ordinal, len(finds)), strict=True):
            put_number(find, number)


def _create(model: type[Model], rows: list[Any]) -> None:
    for start in range(0, len(rows), ROWS_A_STATEMENT):
        part = rows[start : start + ROWS_A_STATEMENT]
        model._default_manager.bulk_create(part)
        note_history(model, [row.pk for row in part], mark=CREATED_MARK)
