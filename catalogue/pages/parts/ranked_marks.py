"""The marks that it may be, as the page shows them: those that coincide as one, each with its reasons."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from django.utils.safestring import SafeString

import dating
from catalogue.specimens.makers_of_marks import reference_key
from catalogue.specimens.models import Maker, OwnMark
from dating.rows import Mark

from .marks_shown import drawn, years_of

RANKS = 8  # more than so many no one compares
MEMBERS = 6
LEAST = 0.001


@dataclass(frozen=True, slots=True)
class Whose:
    """One mark of a rank: whose it is, where to read on, and when it was used."""

    mark: Mark
    address: str
    years: str


@dataclass(frozen=True, slots=True)
class Rank:
    """Marks that the reading can't tell apart, with the chance of them together and why."""

    drawing: SafeString
    text: str
    chance: float
    words: str
    why: tuple[str, ...]
    members: tuple[Whose, ...]
    more: int

    @property
    def tied(self) -> bool:
        return len(self.members) + self.more > 1


@dataclass(frozen=True, slots=True)
class Ranking:
    """The ranks worth showing and the chance that it is none of the tables' marks."""

    ranks: tuple[Rank, ...]
    unknown: float
    unknown_words: str

    @property
    def rather_unknown(self) -> bool:
        """Whether no mark of the tables is as likely as one that they do not hold."""
        return not self.ranks or self.unknown > self.ranks[0].chance


def ranking(
    mark: dict, reference: dating.Reference, years: tuple[int | None, int | None] | None, this_year: int
) -> Ranking:
    """Rank the marks for a reading. Two queries, for the makers of what is shown. Raises CaseError."""
    listed = dating.rank_marks(mark, reference, years, limit=len(reference.marks), this_year=this_year)
    unknown = max(0.0, 1.0 - sum(one.probability for one in listed)) if listed else 1.0
    sets = [list(members) for _, members in groupby(listed, key=lambda one: one.rank)]
    sets = [members for members in sets[:RANKS] if sum(m.probability for m in members) >= LEAST]
    pages = addresses([one.mark for members in sets for one in members[:MEMBERS]])
    return Ranking(tuple(_rank(members, pages) for members in sets), unknown, in_words(unknown))


def _rank(members: Sequence[dating.RankedMark], pages: dict[str, str]) -> Rank:
    first = members[0]
    chance = sum(one.probability for one in members)
    whose = tuple(Whose(m.mark, pages.get(m.mark.id, ""), years_of(m.mark)) for m in members[:MEMBERS])
    text = first.mark.text or first.mark.letters or first.mark.symbol
    more = max(0, len(members) - MEMBERS)
    return Rank(drawn(first.mark), text, chance, in_words(chance), first.why, whose, more)


def addresses(marks: Sequence[Mark]) -> dict[str, str]:
    """Mark id → the page of its maker. Two queries."""
    own = {mark.id.removeprefix("own-") for mark in marks if mark.id.startswith("own-")}
    keys = {
        mark.id: reference_key(mark.maker, mark.place) for mark in marks if not mark.id.startswith("own-")
    }
    found = {
        mark.key: mark.maker.get_absolute_url()
        for mark in OwnMark.objects.filter(pk__in=own).select_related("maker")
    }
    by_key = {m.reference_key: m for m in Maker.objects.filter(reference_key__in=set(keys.values()))}
    return found | {name: by_key[key].get_absolute_url() for name, key in keys.items() if key in by_key}


def in_words(chance: float) -> str:
    """A chance as a person says it."""
    if chance >= 0.995:
        return "almost certain"
    return "less than 1 in 100" if chance < 0.01 else f"{round(chance * 100)} in 100"
