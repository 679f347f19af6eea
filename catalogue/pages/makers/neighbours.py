"""Makers that followed one another, and others of the same place, on the catalogue's axis of years."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, Q
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.year_axis import YearAxis, YearBounds
from catalogue.specimens.models import Maker
from catalogue.specimens.year_words import span_words
from dating.tables import Mark

from .queries import marks_by_maker

MOST_NEIGHBOURS = 12


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A maker beside the one shown; `how` says why it stands here."""

    maker: Maker
    how: str
    years: str
    ruler: SafeString


def neighbours_of(maker: Maker, ref: dating.Reference, axis: YearAxis) -> list[Neighbour]:
    """The maker itself among its neighbours, in the order of their first years; empty where it has none.

    Two queries: who they are, and whose own marks are whose.
    """
    beside = Q(followed=maker) | Q(pk=maker.followed_id) if maker.followed_id else Q(followed=maker)
    if maker.place:
        beside |= Q(place__iexact=maker.place)
    by_year = (F("from_year").asc(nulls_last=True), "name")
    others = list(Maker.objects.filter(beside).exclude(pk=maker.pk).order_by(*by_year)[:MOST_NEIGHBOURS])
    if not others:
        return []
    every = [maker, *others]
    marks = marks_by_maker(every, ref)
    windows = {each.pk: window_of(each, marks[each.pk]) for each in every}
    every.sort(key=lambda each: (windows[each.pk][0] or 9999, each.name))
    found = []
    for each in every:
        window = windows[each.pk]
        words = span_words(*window)
        ruler = mark_safe(small_ruler(axis, window=window, words=words))
        found.append(Neighbour(each, _how(each, maker), words, ruler))
    return found


def window_of(maker: Maker, marks: Iterable[Mark]) -> YearBounds:
    """Its years in business as they are on record, an end not on record by its marks' years of use."""
    marks = list(marks)
    begins = [mark.used_from for mark in marks if mark.used_from is not None]
    ends = [mark.used_to for mark in marks if mark.used_to is not None]
    # open on a side where any mark is
    first = maker.from_year or (min(begins) if begins and len(begins) == len(marks) else None)
    last = maker.to_year or (max(ends) if ends and len(ends) == len(marks) else None)
    return first, last


def _how(each: Maker, maker: Maker) -> str:
    if each.pk == maker.pk:
        return "this maker"
    if each.pk == maker.followed_id:
        return "came before it"
    return "followed it" if each.followed_id == maker.pk else "in the same place"
