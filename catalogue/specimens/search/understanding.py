"""What a search means: its units, with a likely word in place of one that nothing holds.

The box, its page and the list of finds ask here, so all three answer the same words. For visitors everything
is asked of what they may read: neither a correction nor a missing one tells of anything else.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from operator import or_

from django.db.models import Q

from catalogue.specimens.models import SearchEntry, SearchWord, Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet

from .index import Matched, has_fts
from .kinds import FIND
from .published import published_rows, published_words
from .spelling import letters_forgiven, likely_words, pieces_to_ask_for
from .units import Typed, Unit, instead, read_typed, unit_of

# Words of a visitor's list are read from so many pieces, the last recorded first.
MOST_READ = 2000


@dataclass(frozen=True, slots=True)
class Replaced:
    """A word that nothing holds, the one looked for instead, and others that may be meant."""

    typed: str
    word: str
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Understood:
    """A search as it is asked."""

    typed: Typed
    units: tuple[Unit, ...]
    visitor: bool
    fts: bool
    replaced: tuple[Replaced, ...] = ()

    @property
    def matched(self) -> Matched:
        """The question to the index."""
        return Matched(self.units, self.fts)

    @property
    def sentences(self) -> list[str]:
        """What was done with the words beside looking for them."""
        said = [f"Nothing holds “{each.typed}”, so “{each.word}” was looked for." for each in self.replaced]
        if self.typed.cut:
            said.append("Only the beginning of that was looked for: up to twelve words and 200 letters.")
        return said


def understand(text: str, *, visitor: bool = False) -> Understood:
    """Read a search and forgive what nothing holds. A query or two a word; likely ones are looked for
    only in place of a word that is nowhere."""
    typed, fts = read_typed(text), has_fts()
    units: list[Unit] = []
    replaced: list[Replaced] = []
    for unit in typed.units:
        for part in _parts(unit, visitor, fts):
            forgiven = len(part.words) == 1 and part.words[0].isalpha() and letters_forgiven(part.words[0])
            if not forgiven or _known(part, visitor, fts):
                units.append(part)
                continue
            likely = [each.word for each in likely_words(part.words[0], _words_like(part.words[0], visitor))]
            if likely:
                units.append(instead(part, likely[0]))
                replaced.append(Replaced(part.written, likely[0], tuple(likely[1:])))
            else:
                units.append(part)
    return Understood(typed, tuple(units), visitor, fts, tuple(replaced))


def words_nowhere(understood: Understood) -> tuple[str, ...]:
    """What was typed that nothing holds. A query or two for each word: asked where nothing was found."""
    visitor, fts = understood.visitor, understood.fts
    return tuple(unit.written for unit in understood.units if not (unit.years or _known(unit, visitor, fts)))


def _parts(unit: Unit, visitor: bool, fts: bool) -> list[Unit]:
    """The unit; a phrase that is nowhere as its words, where these are long enough to be looked for."""
    apart = len(unit.words) > 1 and all(letters_forgiven(word) and word.isalpha() for word in unit.words)
    if not apart or _known(unit, visitor, fts):
        return [unit]
    return [unit_of(word, [word]) for word in unit.words]


def _known(unit: Unit, visitor: bool, fts: bool) -> bool:
    """Whether anything that may be read holds it."""
    if visitor:
        return visible_finds([unit], fts).exists()
    return Matched([unit], fts).anything() or any(unit.is_in(row.folded) for row in published_rows())


def _words_like(typed: str, visitor: bool) -> Iterator[tuple[str, int]]:
    """Words to compare with, and in how many entries each stands. One query."""
    if visitor:
        seen = Specimen.objects.for_visitors().order_by("-pk").values("pk")[:MOST_READ]
        texts = SearchEntry.objects.filter(pk__in=list(seen.values_list("pk", flat=True)))
        words = {word for text in texts.values_list("public", flat=True) for word in text.split()}
        yield from ((word, 1) for word in words if word.isalpha())
        return
    asked = reduce(or_, (Q(word__contains=piece) for piece in pieces_to_ask_for(typed)))
    yield from SearchWord.objects.filter(asked).values_list("word", "entries")
    yield from ((word, 0) for word in published_words())


def finds_with(understood: Understood) -> Q:
    """The condition for finds that hold every unit, by the owner's index."""
    return _holding(understood.units, understood.fts)


def visible_finds(units: list[Unit] | tuple[Unit, ...], fts: bool) -> SpecimenQuerySet[Specimen]:
    """Finds that a visitor may see and that hold every unit in what a visitor reads of them."""
    found: SpecimenQuerySet[Specimen] = Specimen.objects.for_visitors().filter(_holding(units, fts))
    for unit in units:
        read = reduce(or_, (Q(public__contains=text) for text in unit.texts))
        holding = Q(pk__in=SearchEntry.objects.filter(read).values("pk"))
        found = found.filter(holding | _made_in(unit.years) if unit.years else holding)
    return found


def _holding(units: list[Unit] | tuple[Unit, ...], fts: bool) -> Q:
    words = [unit for unit in units if not unit.years]
    asked = Q(pk__in=Matched(words, fts).condition(FIND)) if words else Q()
    for unit in units:
        if unit.years:
            asked &= Q(pk__in=Matched([unit], fts).condition(FIND)) | _made_in(unit.years)
    return asked


def _made_in(years: tuple[int, int]) -> Q:
    return Q(pk__in=Specimen.objects.made_between(*years).order_by().values("pk"))
