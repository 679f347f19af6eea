"""Wishes: struck off and looked for again, and which a find may be."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from catalogue.specimens.models import Maker, SearchEntry, Specimen, Wish
from catalogue.specimens.models.wish import WISHED_OF
from catalogue.specimens.search.index import key_of
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.search.units import read_typed


class WishStruckOff(ValueError):
    """It was struck off, or is looked for again, already; the message says so."""


@dataclass(frozen=True, slots=True)
class MayBe:
    """A wish that a find may be; `sure`: all that the wish says holds of the find."""

    wish: Wish
    sure: bool


@transaction.atomic
def strike_off(wish: Wish, found: Specimen | None = None) -> Wish:
    """No longer looked for; `found`: the find that it was. Raises WishStruckOff."""
    wish = Wish.objects.select_for_update(of=("self",)).get(pk=wish.pk)
    if wish.struck_off_at:
        raise WishStruckOff("That was struck off already.")
    wish.struck_off_at, wish.found = timezone.now(), found
    wish.save(update_fields=["struck_off_at", "found"])
    return wish


@transaction.atomic
def look_again(wish: Wish) -> Wish:
    """Looked for once more. Raises WishStruckOff."""
    wish = Wish.objects.select_for_update(of=("self",)).get(pk=wish.pk)
    if not wish.struck_off_at:
        raise WishStruckOff("That is looked for already.")
    wish.struck_off_at = wish.found = None
    wish.save(update_fields=["struck_off_at", "found"])
    return wish


def look_for_years(maker: Maker, look: bool) -> Maker:
    """Whether the maker's missing years are listed; asked for or left out, whatever pieces there are."""
    maker.look_for_years = look
    maker.save(update_fields=["look_for_years"])
    return maker


def wishes_of(finds: Iterable[Specimen]) -> list[tuple[Specimen, MayBe]]:
    """Open wishes that finds may be, each with the find, the surer first. One query; two where one is in
    words alone."""
    finds = list(finds)
    rows = list(Wish.objects.still_open().select_related("product", "bottler", "town", "maker"))
    texts = _texts_of(finds) if any(_in_words_alone(wish) for wish in rows) else {}
    found = [
        (find, MayBe(wish, _sure(wish, find)))
        for find in finds
        for wish in rows
        if _may_be(wish, find, texts.get(find.pk, ""))
    ]
    return sorted(found, key=lambda each: not each[1].sure)


def _texts_of(finds: list[Specimen]) -> dict[int, str]:
    """What the search reads of these finds."""
    keys = {key_of(FIND, find.pk): find.pk for find in finds}
    entries = SearchEntry.objects.filter(pk__in=keys).values_list("pk", "text")
    return {keys[key]: text for key, text in entries}


def _in_words_alone(wish: Wish) -> bool:
    return all(getattr(wish, f"{name}_id") is None for name in WISHED_OF)


def _may_be(wish: Wish, find: Specimen, text: str) -> bool:
    wished = [(getattr(wish, f"{name}_id"), getattr(find, f"{name}_id")) for name in WISHED_OF]
    if any(key is not None and key != its for key, its in wished):
        return False
    years = _years(find)
    if wish.from_year or wish.to_year:
        if years is None:
            return False
        if (wish.from_year or 0) > years[1] or (wish.to_year or 9999) < years[0]:
            return False
    if any(key is not None for key, _ in wished):
        return True
    # In words alone: each of them stands somewhere on the find's record.
    units = read_typed(wish.what).units
    return bool(units) and all(unit.is_in(text) for unit in units)


def _sure(wish: Wish, find: Specimen) -> bool:
    """Whether nothing that the wish says is open: not its words, not its years."""
    if wish.what:
        return False
    years = _years(find)
    within = years is not None and (wish.from_year or 0) <= years[0] and years[1] <= (wish.to_year or 9999)
    return within or not (wish.from_year or wish.to_year)


def _years(find: Specimen) -> tuple[int, int] | None:
    """First and last year that it may be of."""
    if find.made_first is None or find.made_last is None:
        return None
    return find.made_first, find.made_last
