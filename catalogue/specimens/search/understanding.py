"""What a search means: its units, with a likely word in place of one that nothing holds.

The box, its page and the list of finds ask here, so all three answer the same words. For visitors everything
is asked of what they may read: neither a correction nor a missing one tells of anything else.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property, reduce
from operator import or_

from django.db import connection
from django.db.models import Exists, OuterRef, Q

from catalogue.specimens.models import SearchEntry, SearchWord, Specimen, WordDeletion
from catalogue.specimens.models.specimen import SpecimenQuerySet, dated_between_rows

from .held_words import hidden_site_words, telling_finds
from .index import has_fts
from .kinds import FIND
from .matched import RANKED_ROWS, Matched
from .published import is_published, published_words_near
from .spelling import NUMBERS, letters_forgiven, likely_words, spans_to_ask_for
from .units import Typed, Unit, instead, read_typed, unit_of

# So many likely words are looked for in what a visitor may see, and so many shown.
FEW_SEEN = 1000
TRIED_FOR_VISITORS, LIKELY_SHOWN = 12, 5
_WORDS, _DELETIONS = SearchWord._meta.db_table, WordDeletion._meta.db_table


@dataclass(frozen=True, slots=True)
class Replaced:
    """A word that nothing holds, the one looked for instead, and others that may be meant."""

    typed: str
    word: str
    others: tuple[str, ...]


class Held:
    """What anything holds that the viewer may read. Each question is asked once for a search."""

    def __init__(self, visitor: bool) -> None:
        self.visitor, self.fts = visitor, has_fts()
        self._matched: dict[tuple[Unit, ...], Matched] = {}
        self._seen: dict[tuple[Unit, ...], list[int]] = {}

    def matched(self, units: Sequence[Unit]) -> Matched:
        """The owner's question to the index."""
        return self._matched.setdefault(tuple(units), Matched(units, self.fts))

    def seen(self, units: Sequence[Unit]) -> list[int]:
        """Keys of finds with all units that a visitor may see, the last first, one more than is ranked."""
        if (asked := tuple(units)) not in self._seen:
            self._seen[asked] = self._first_seen(visible_finds(asked, self))
        return self._seen[asked]

    @cached_property
    def hidden(self) -> dict[int, str]:
        """The words that would tell a hidden site. One query, once."""
        return hidden_site_words()

    def _first_seen(self, finds: SpecimenQuerySet[Specimen]) -> list[int]:
        """The last of them first, without those whose words tell a hidden site. Some queries a round."""
        found: list[int] = []
        rest = finds.order_by("-pk").values_list("pk", flat=True)
        while len(found) <= RANKED_ROWS:
            part = list(rest[: RANKED_ROWS + 1])
            # of few, those that tell one are left out already
            telling = telling_finds(part, self.hidden) if self.few_seen is None else set()
            found += [key for key in part if key not in telling]
            if len(part) <= RANKED_ROWS:
                break
            rest = rest.filter(pk__lt=part[-1])
        return found[: RANKED_ROWS + 1]

    @cached_property
    def few_seen(self) -> list[int] | None:
        """Keys of the finds that visitors see and whose words tell no hidden site, where these are few."""
        shown = Specimen.objects.for_visitors().order_by().values_list("pk", flat=True)[: FEW_SEEN + 1]
        if len(keys := list(shown)) > FEW_SEEN:
            return None
        telling = telling_finds(keys, self.hidden)
        return [key for key in keys if key not in telling]

    def knows(self, unit: Unit) -> bool:
        """Whether anything holds it."""
        if self.visitor:
            return bool(self.seen([unit]))
        return self.matched([unit]).anything() or is_published(unit)

    def knows_all(self, units: Sequence[Unit]) -> bool:
        """Whether one thing holds them all: then none of them needs to be asked for by itself."""
        if len(units) < 2 or any(unit.years for unit in units):
            return False
        return bool(self.seen(units)) if self.visitor else self.matched(units).anything()


@dataclass(frozen=True, slots=True)
class Understood:
    """A search as it is asked."""

    typed: Typed
    units: tuple[Unit, ...]
    held: Held = field(compare=False)
    replaced: tuple[Replaced, ...] = ()

    @property
    def visitor(self) -> bool:
        """Whether it is a visitor's."""
        return self.held.visitor

    @property
    def matched(self) -> Matched:
        """The question to the index."""
        return self.held.matched(self.units)

    @property
    def sentences(self) -> list[str]:
        """What was done with the words beside looking for them."""
        said = [f"Nothing holds “{each.typed}”, so “{each.word}” was looked for." for each in self.replaced]
        if self.typed.cut:
            said.append("Only the beginning of that was looked for: up to twelve words and 200 letters.")
        return said


def understand(text: str, *, visitor: bool = False) -> Understood:
    """Read a search and forgive what nothing holds. A query for all words, or one for each; likely words are
    looked for only in place of a word that is nowhere."""
    typed, held = read_typed(text), Held(visitor)
    if held.knows_all(typed.units):
        return Understood(typed, typed.units, held)
    units: list[Unit] = []
    replaced: list[Replaced] = []
    for unit in typed.units:
        for part in _parts(unit, held):
            forgiven = len(part.words) == 1 and part.words[0].isalpha() and letters_forgiven(part.words[0])
            likely = _likely(part.words[0], held) if forgiven and not held.knows(part) else []
            if likely:
                replaced.append(Replaced(part.written, likely[0], tuple(likely[1:])))
            units.append(instead(part, likely[0]) if likely else part)
    return Understood(typed, tuple(units), held, tuple(replaced))


def words_nowhere(understood: Understood) -> tuple[str, ...]:
    """What was typed that nothing holds, asked where nothing was found. A query for a word not asked for."""
    return tuple(u.written for u in understood.units if not (u.years or understood.held.knows(u)))


def _parts(unit: Unit, held: Held) -> list[Unit]:
    """The unit; a phrase that is nowhere as its words, where these are long enough to be looked for."""
    apart = len(unit.words) > 1 and all(letters_forgiven(word) and word.isalpha() for word in unit.words)
    if not apart or held.knows(unit):
        return [unit]
    return [unit_of(word, [word]) for word in unit.words]


def _likely(typed: str, held: Held) -> list[str]:
    """Words that may be meant, the likeliest first. One query; for visitors one more for each."""
    listed = _listed_near(typed)
    if not held.visitor:
        known = {**dict.fromkeys(published_words_near(typed), 0), **listed}
        return [each.word for each in likely_words(typed, known.items(), LIKELY_SHOWN)]
    # in how many entries of the owner's they stand tells visitors nothing
    near = likely_words(typed, ((word, 1) for word in listed), TRIED_FOR_VISITORS)
    seen = [each.word for each in near if held.knows(_whole(each.word))]
    return seen[:LIKELY_SHOWN]


def _whole(word: str) -> Unit:
    return Unit(word, (f" {word} ",), words=(word,))


def _listed_near(typed: str) -> dict[str, int]:
    """Listed words that may be meant and some more, with the number of entries of each. One query."""
    spans = spans_to_ask_for(typed)
    asked = ", ".join(["(CAST(%s AS bigint), CAST(%s AS bigint))"] * len(spans))
    sql = (
        f"WITH spans(low, high) AS (VALUES {asked}) SELECT word, entries FROM {_WORDS} WHERE id IN "
        f"(SELECT d.id %% {NUMBERS} FROM spans JOIN {_DELETIONS} d ON d.id >= low AND d.id < high)"
    )
    with connection.cursor() as cursor:
        cursor.execute(sql, [bound for span in spans for bound in span])
        return dict(cursor.fetchall())


def finds_with(understood: Understood) -> Q:
    """The condition for finds that hold every unit, by the owner's index."""
    return _holding(understood.units, understood.held.fts)


def visible_finds(units: Sequence[Unit], held: Held) -> SpecimenQuerySet[Specimen]:
    """Finds that visitors are shown and that hold every unit in what a visitor reads of them.

    Where many are shown, those whose words tell a hidden site are among them: `Held.seen` leaves them out.
    """
    found: SpecimenQuerySet[Specimen] = Specimen.objects.for_visitors()
    # Few are read one by one: asked first, the index would name all that visitors don't see.
    found = found.filter(_holding(units, held.fts) if held.few_seen is None else Q(pk__in=held.few_seen))
    for unit in units:
        read = reduce(or_, (Q(public__contains=text) for text in unit.texts))
        holding = Q(Exists(SearchEntry.objects.filter(read, pk=OuterRef("pk"))))
        found = found.filter(holding | dated_between_rows(*unit.years) if unit.years else holding)
    return found


def _holding(units: Sequence[Unit], fts: bool) -> Q:
    words = [unit for unit in units if not unit.years]
    asked = Q(pk__in=Matched(words, fts).condition(FIND)) if words else Q()
    for unit in units:
        if unit.years:
            asked &= Q(pk__in=Matched([unit], fts).condition(FIND)) | dated_between_rows(*unit.years)
    return asked
