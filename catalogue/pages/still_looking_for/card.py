"""What stands on the card for the pocket."""

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from catalogue.labels.pocket_card import CardLine, CardPart
from catalogue.specimens.models import Wish

from .missing import MissingYears

ELSE = "Anything else"


def by_subject(wishes: Iterable[Wish]) -> list[tuple[Any, list[Wish]]]:
    """Wishes under what they are of first: a product, else a bottler, a town, a maker; the rest last."""
    named = [(next(iter(wish.wished_of()), None), wish) for wish in wishes]
    named.sort(key=_place)
    groups = groupby(named, key=lambda each: each[0])
    return [(row, [wish for _, wish in part]) for row, part in groups]


def _place(named: tuple[Any, Wish]) -> tuple[bool, str, str, int, int]:
    row, wish = named
    return row is None, str(row or ""), type(row).__name__, row.pk if row else 0, wish.pk


def on_the_card(wishes: Iterable[Wish], missing: Iterable[MissingYears]) -> list[CardPart]:
    """Wishes by what they are of, then the missing years of each maker."""
    parts = [
        CardPart(str(row) if row is not None else ELSE, [_line(wish) for wish in part])
        for row, part in by_subject(wishes)
    ]
    years = [CardLine(f"{each.maker.name}: {each.words}") for each in missing]
    return [*parts, CardPart("Years missing", years)] if years else parts


def _line(wish: Wish) -> CardLine:
    rest = [str(row) for row in wish.wished_of()[1:]]
    words = ", ".join(part for part in (wish.what or "any piece", *rest, wish.years_words) if part)
    return CardLine(words, wish.note)
