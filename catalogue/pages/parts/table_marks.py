"""Marks and codes of the tables as pages show them: drawn, with their years, and ranked for a reading.

The published and one's own alike; marks that a reading can't tell apart are one rank, each with its reasons.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.common.words import sure
from catalogue.specimens.code_words import explain, sample_of
from catalogue.specimens.models import Maker, OwnMark
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.value import Reading
from catalogue.specimens.tables import reference_key
from catalogue.specimens.year_words import span_words
from dating.codes import DateCode
from dating.tables import Mark

MARK_BASIS_WORDS = {
    "published": "read in the source",
    "partly": "in part from memory",
    "memory": "from memory",
}
RANKS = 8  # more than so many no one compares
MEMBERS = 6
LEAST_CHANCE = 0.001
SHOULDER = 20  # years beside its own in which a mark is drawn: a doubtful end slopes


@dataclass(frozen=True, slots=True)
class MarkShown:
    """A mark drawn, its years in words and on a ruler, and where that is known from."""

    mark: Mark
    drawing: SafeString
    years: str
    ruler: SafeString
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class CodeShown:
    """A scheme explained, with a question answered."""

    code: DateCode
    words: str
    asked: str
    answer: str
    source: str
    basis: str


def marks_shown(marks: Iterable[Mark], ref: dating.Reference, axis: YearAxis) -> list[MarkShown]:
    """Marks with their years of use on the catalogue's axis."""
    return [
        MarkShown(
            mark,
            drawn(mark),
            years_of(mark),
            _ruler(mark, ref, axis),
            source_of(mark, ref),
            basis_of(mark),
        )
        for mark in marks
    ]


def codes_shown(codes: Iterable[DateCode], ref: dating.Reference) -> list[CodeShown]:
    """Schemes with an example that the dating service worked out."""
    shown = []
    for code in codes:
        asked = sample_of(code) if code.kind != "other" else ""
        answer = dating.what_would(asked, [code], this_year=timezone.localdate().year).words if asked else ""
        shown.append(CodeShown(code, explain(code), asked, answer, source_of(code, ref), basis_of(code)))
    return shown


def drawn(mark: Mark) -> SafeString:
    """The mark drawing of a row."""
    return mark_drawing(Reading.drawn_of_mark(mark))


def text_of(mark: Mark) -> str:
    """How the mark reads: its words, else its letters, else its symbol."""
    return mark.text or mark.letters or mark.symbol


def years_of(mark: Mark) -> str:
    """Its years in words; a firm's years say so."""
    words = span_words(mark.used_from, mark.used_to, about_first=mark.from_circa, about_last=mark.to_circa)
    return f"{words} (the firm's years)" if mark.window_of == "firm" else words


def source_of(row: Mark | DateCode, ref: dating.Reference) -> str:
    """Where the row is from."""
    if row.source == "own":
        return f"your own: {row.locator}" if row.locator else "your own"
    return ref.source_words(row.source, row.locator)


def basis_of(row: Mark | DateCode) -> str:
    """How sure the row is, in words; nothing for one's own."""
    return "" if row.source == "own" else MARK_BASIS_WORDS.get(row.basis, row.basis)


def _ruler(mark: Mark, ref: dating.Reference, axis: YearAxis) -> SafeString:
    window = (mark.used_from, mark.used_to)
    if window == (None, None):
        return mark_safe("")
    shape = ref.shapes[mark.id]
    first = min(axis.first, mark.used_from or mark.used_to or axis.first) - SHOULDER
    last = max(axis.last, mark.used_to or mark.used_from or axis.last) + SHOULDER
    curve = [(year, shape.at(year)) for year in range(first, last)]
    # safe: the drawing escapes every text it is given
    return mark_safe(small_ruler(axis, curve=curve, window=window, words=years_of(mark)))


@dataclass(frozen=True, slots=True)
class RankMember:
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
    members: tuple[RankMember, ...]
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
    mark: Reading, reference: dating.Reference, years: tuple[int | None, int | None] | None, this_year: int
) -> Ranking:
    """Rank the marks for a reading. Two queries, for the makers of what is shown. Raises CaseError."""
    listed = dating.rank_marks(mark.case(), reference, years, limit=len(reference.marks), this_year=this_year)
    unknown = max(0.0, 1.0 - sum(one.probability for one in listed)) if listed else 1.0
    sets = [list(members) for _, members in groupby(listed, key=lambda one: one.rank)]
    sets = [members for members in sets[:RANKS] if sum(m.probability for m in members) >= LEAST_CHANCE]
    pages = addresses([one.mark for members in sets for one in members[:MEMBERS]])
    return Ranking(tuple(_rank(members, pages) for members in sets), unknown, sure(unknown))


def _rank(members: Sequence[dating.RankedMark], pages: dict[str, str]) -> Rank:
    first = members[0]
    chance = sum(one.probability for one in members)
    whose = tuple(RankMember(m.mark, pages.get(m.mark.id, ""), years_of(m.mark)) for m in members[:MEMBERS])
    text = text_of(first.mark)
    more = max(0, len(members) - MEMBERS)
    return Rank(drawn(first.mark), text, chance, sure(chance), first.why, whose, more)


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
