"""Records of a room that look like one: its list says so, with the way to merge them; none merges itself."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any, Final

from django.contrib import messages
from django.db.models import Count, Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from catalogue.common.look_alikes import NamedRow, Pairs, look_alikes
from catalogue.common.models import KeptApart

from .merging import MergeRoom

MOST_ALIKE = 12
# What was found last for each room, with what it was found from: a list of thousands is not compared on each
# page of it.
_found: Final[dict[str, tuple[object, Pairs]]] = {}


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two of a room as its list shows them; `gone` would be merged into `kept`."""

    kept: Any
    gone: Any
    room: MergeRoom

    @property
    def kept_words(self) -> str:
        """The one to keep, told apart from others of its name."""
        return self.room.label(self.kept)

    @property
    def gone_words(self) -> str:
        """The other one, told apart from others of its name."""
        return self.room.label(self.gone)

    @property
    def merge(self) -> str:
        """The address that shows what would move."""
        return f"{self.gone.get_absolute_url()}merge/?into={self.kept.pk}&from=list"

    @property
    def apart(self) -> str:
        """The address that says that they are two."""
        return reverse(f"{self.room.space}:merge_apart", args=[self.kept.pk, self.gone.pk])


@dataclass(frozen=True, slots=True)
class LookAlikes:
    """The likest pairs of a room, and how many there are in all."""

    shown: list[LookAlike]
    count: int

    @property
    def more(self) -> int:
        """How many come up once those shown are answered."""
        return self.count - len(self.shown)


def alike_in(room: MergeRoom) -> LookAlikes:
    """The pairs that look like one and were not said to be two: two to six queries."""
    apart = set(KeptApart.objects.filter(kind=room.word).values_list("one", "other"))
    asked = room.may_be_one([pair for pair in _pairs(room) if _ends(*pair) not in apart])
    pairs = asked[:MOST_ALIKE]
    keys = {row.key for pair in pairs for row in pair}
    rows, empty = (room.rows().in_bulk(keys), _without_pieces(room, keys)) if pairs else ({}, set())
    shown = [
        LookAlike(*_kept_first(rows[one.key], rows[other.key], empty), room)
        for one, other in pairs
        if one.key in rows and other.key in rows
    ]
    return LookAlikes(shown, len(asked) - len(pairs) + len(shown))


def say_apart(request: HttpRequest, room: MergeRoom, one: int, other: int) -> HttpResponse:
    """Note that these two are two; the list asks about them no more."""
    if one != other and room.rows().filter(pk__in=[one, other]).count() == 2:
        first, second = sorted((one, other))
        KeptApart.objects.get_or_create(kind=room.word, one=first, other=second)
        messages.success(request, "They stay two, and are not asked about again.")
    else:
        messages.error(request, "One of the two is not there any more.")
    return redirect(room.list_address())


def _pairs(room: MergeRoom) -> Pairs:
    stamp = room.rows().order_by().aggregate(Count("pk"), Max("pk"), Max("changed"))
    known = _found.get(room.space)
    if known is None or known[0] != stamp:
        known = _found[room.space] = (stamp, look_alikes(room.named()))
    return known[1]


def _ends(one: NamedRow, other: NamedRow) -> tuple[int, int]:
    first, second = sorted((one.key, other.key))
    return first, second


def _without_pieces(room: MergeRoom, keys: Collection[int]) -> set[int]:
    """Those of which no find is, in a room whose records have finds: many were given another name at once."""
    rows = room.rows()
    if not any(link.get_accessor_name() == "finds" for link in rows.model._meta.related_objects):
        return set()
    return set(rows.filter(pk__in=keys, finds=None).order_by().values_list("pk", flat=True))


def _kept_first(one: Any, other: Any, empty: Collection[int]) -> tuple[Any, Any]:
    """The one to keep: published, else the one that pieces are of, else the one that says more of where it
    is, else the older.
    """
    worth = [(row.pk not in empty, _says(row)) for row in (one, other)]
    if one.why_not_merged(other) or (worth[1] > worth[0] and not other.why_not_merged(one)):
        return other, one
    return one, other


def _says(row: Any) -> int:
    told = ("region", "latitude", "town_id", "bottler_id", "place", "from_year", "reach")
    return sum(getattr(row, name, None) not in (None, "") for name in told)
