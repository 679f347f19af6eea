"""The one search: everything on record that holds what was typed, kind by kind, the likeliest first.

The number of queries does not grow with what is found: one to three for the keys, one for what ranks them,
and the rows of each kind that is shown.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import Exists, OuterRef

from catalogue.specimens.models import Maker, SearchEntry, Specimen

from .folding import fold
from .index import key_of
from .kinds import FIND, KIND_OF, KINDS, SearchKind
from .matched import MOST_COUNTED, RANKED_ROWS, FoundKeys, counted_up
from .published import PublishedRow, published_with
from .understanding import Understood, finds_with, understand, words_nowhere
from .units import Unit

NAMES_FOR_VISITORS = ("town", "maker", "bottler", "product")


@dataclass(frozen=True, slots=True)
class FoundKind:
    """What was found of one kind: the first rows, and how many there are (`counted`) or at least."""

    kind: SearchKind
    rows: Sequence[Any]
    total: int
    counted: bool = True


@dataclass(frozen=True, slots=True)
class Answer:
    """All that was found."""

    understood: Understood
    number: Specimen | None  # the piece whose number was typed
    found: tuple[FoundKind, ...]
    published: tuple[PublishedRow, ...] = ()
    names: tuple[str, ...] = ()  # for visitors: towns and makers of what they may see
    nowhere: tuple[str, ...] = ()  # where nothing was found: words that nothing holds

    @property
    def anything(self) -> bool:
        """Whether there is anything to show."""
        return bool(self.number or self.found or self.published)


def search(text: str, *, visitor: bool = False, most: int = 5, only: str = "") -> Answer:
    """Look for `text` in everything the viewer may see; `most` rows of each kind, of `only` one kind."""
    answer = _answer(understand(text, visitor=visitor), most, only)
    if answer.anything:
        return answer
    return replace(answer, nowhere=words_nowhere(answer.understood))


def _answer(understood: Understood, most: int, only: str) -> Answer:
    number = _piece(understood)
    if not understood.units:
        return Answer(understood, number, ())
    if understood.visitor:
        return _for_visitor(understood, number, most)
    wanted = [KIND_OF[only]] if only in KIND_OF else KINDS
    by_kind = understood.matched.by_kind(wanted)
    if FIND in wanted and any(unit.years for unit in understood.units):
        by_kind[FIND.key] = _of_years(understood)
    kinds = [kind for kind in wanted if kind.key in by_kind and by_kind[kind.key].keys]
    ranked = [kind for kind in kinds if by_kind[kind.key].ranked]
    texts = _texts(key_of(kind, key) for kind in ranked for key in by_kind[kind.key].keys)
    found = [_of_kind(kind, by_kind[kind.key], texts, understood.units, most) for kind in kinds]
    published = published_with(understood.units) if only in ("", "reference") else []
    return Answer(understood, number, tuple(found), tuple(published))


def _piece(understood: Understood) -> Specimen | None:
    """The piece whose whole number was typed, the bin left out. One query at most."""
    if not understood.typed.number:
        return None
    finds = Specimen.objects.for_visitors() if understood.visitor else Specimen.objects
    found: Specimen | None = finds.filter(number=understood.typed.number).first()
    return found


def _of_years(understood: Understood) -> FoundKeys:
    """Finds that hold the words and were made in the years. Two queries."""
    rows = Specimen.objects.filter(finds_with(understood)).order_by("-pk").values_list("pk", flat=True)
    keys = list(rows[: RANKED_ROWS + 1])
    total = len(keys) if len(keys) <= RANKED_ROWS else rows[: MOST_COUNTED + 1].count()
    return counted_up(keys, total, MOST_COUNTED)


def _of_kind(
    kind: SearchKind, found: FoundKeys, texts: dict[int, str], units: Sequence[Unit], most: int
) -> FoundKind:
    """The best of a kind; of more than are ranked the last recorded."""
    best = _ranked(kind, found.keys, texts, units) if found.ranked else list(found.keys)
    if kind.model is not Maker:
        return FoundKind(kind, _in_order(kind.read(best[:most]), best), found.total, found.counted)
    # One's own, and those that pieces are of, before the many of the published tables.
    mine = Exists(Specimen.objects.filter(maker=OuterRef("pk")))
    shown = _in_order(kind.rows(best[: 4 * most]).annotate(has_pieces=mine), best)
    shown.sort(key=lambda maker: not (maker.is_own or maker.has_pieces))
    return FoundKind(kind, shown[:most], found.total, found.counted)


def _texts(keys: Iterable[int], column: str = "text") -> dict[int, str]:
    """What the index holds of them. One query, none for none: Django works long at what it never asks."""
    keys = list(keys)
    return dict(SearchEntry.objects.filter(pk__in=keys).values_list("pk", column)) if keys else {}


def _ranked(kind: SearchKind, keys: Sequence[int], texts: dict[int, str], units: Sequence[Unit]) -> list[int]:
    """Keys by how early and how well the words stand in their entries; equal ones the last recorded first."""
    return sorted(sorted(keys, reverse=True), key=lambda key: rank(texts.get(key_of(kind, key), ""), units))


def rank(text: str, units: Sequence[Unit]) -> tuple[int, int]:
    """Less is better: in which lines of an entry the units stand, at the beginning of words or within them.

    An entry's lines are in the order of what explains best: its name first. Equal ones: the shorter name.
    """
    lines = text.split("\n")
    score = 0
    for unit in units:
        for n, line in enumerate(lines):
            if unit.is_in(line):
                begins = any(f" {sought.strip()}" in line for sought in unit.texts)
                score += 2 * n + (not begins)
                break
        else:
            score += 2 * len(lines)
    return score, len(lines[0])


def _in_order(rows: Iterable[Any], keys: Sequence[int]) -> list[Any]:
    by_key = {row.pk: row for row in rows}
    return [by_key[key] for key in keys if key in by_key]


def _for_visitor(understood: Understood, number: Specimen | None, most: int) -> Answer:
    """Finds that a visitor may see, by what a visitor reads of them; and the names on the first of these."""
    seen = understood.held.seen(understood.units)
    keys = counted_up(seen, len(seen), RANKED_ROWS)
    texts = _texts(keys.keys, "public") if keys.ranked else {}
    found = _of_kind(FIND, keys, texts, understood.units, most)
    names = _names(seen[:RANKED_ROWS], understood.units)
    return Answer(understood, number, (found,) if found.rows else (), names=names)


def _names(keys: Sequence[int], units: Sequence[Unit]) -> tuple[str, ...]:
    """Towns, makers, bottlers and products on these pieces whose name holds a unit. One query."""
    finds = Specimen.objects.filter(pk__in=keys).order_by("-pk")
    names = dict.fromkeys(
        name
        for row in finds.values_list(*(f"{column}__name" for column in NAMES_FOR_VISITORS))
        for name in row
        if name
    )
    return tuple(name for name in names if any(unit.is_in(fold(name)) for unit in units))[:12]
