"""What an act on many finds says of itself: its column, its value, what stands in its way."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from catalogue.specimens.derived.rules import Feeds, sources_of
from catalogue.specimens.models import Specimen

# What is read of a find by some act: five thousand are loaded twice as quickly without the rest.
LOADED = (
    *("number", "what", "kind", "stage", "standing", "shared", "notes", "story", "look", "binned_at"),
    *("place", "town", "bottler", "twin_group", "dive", "site", "recovered_edtf"),
    *("care_flags", "made_to", "made_words"),
)
# Of an act that asks where a piece lay, as its hazards do.
WHERE_IT_LAY_ROWS = ("dive__site", "site")


@dataclass(frozen=True, slots=True)
class PieceQuestion:
    """What is asked before the act goes ahead with some pieces: in written words, or (`ticked`) by a tick."""

    key: str
    words: str
    ticked: bool = False


@dataclass(frozen=True, slots=True)
class PieceObjection:
    """Why an act may not be done with a piece, or what is asked before it is."""

    refused: str = ""
    questions: tuple[PieceQuestion, ...] = ()
    note: str = ""


Objections = dict[int, PieceObjection]
# Rows made beside the column, by their kind: key of the find and key of the row.
Made = dict[str, list[Any]]


class PieceAct:
    """An act on many finds. It writes one column of each, and perhaps rows beside it.

    A subclass asks the rules of the single act, each for five hundred pieces in a few queries.
    """

    key: ClassVar[str]
    # As the database knows it ("place_id"); empty where only rows are made beside.
    column: ClassVar[str] = ""
    # Columns that `beside` gives other values, written in the same go.
    also: ClassVar[tuple[str, ...]] = ()
    # Whether a value is written over another: then an edit in another window is not overwritten unseen.
    overwrites: ClassVar[bool] = True
    # Rows that finds lead to and the act reads: each is read once, however many finds lead to it.
    select: ClassVar[tuple[str, ...]] = ()
    fewest: ClassVar[int] = 1
    # What was objected to when its pieces were judged last, by key.
    said: Objections = {}

    @property
    def target(self) -> str:
        """What each piece will be or have afterwards, in words."""
        raise NotImplementedError

    def value(self, find: Specimen) -> Any:
        """What the column will hold."""
        raise NotImplementedError

    def shown(self, find: Specimen) -> str:
        """What the piece has now, in words."""
        raise NotImplementedError

    @property
    def bears_on_years(self) -> bool:
        """Whether the years of a find follow from its column."""
        name = frozenset({(self.column or "").removesuffix("_id")})
        return any(Feeds.YEARS in each.feeds and each.fed_by(name) for each in sources_of(Specimen))

    def is_so(self, find: Specimen) -> bool:
        """Whether nothing would change."""
        return bool(getattr(find, self.column) == self.value(find))

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        """What stands in the way, by the key of a piece. A few queries for all of them."""
        return {}

    def ready(self, finds: Sequence[Specimen]) -> None:
        """Before anything is written: lock or make what they are to rest on."""

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        """Write rows beside the column, in bulk; the finds hold their old values still."""
        return {}

    def done_words(self, count: int) -> str:
        """ "12 pieces are now in Hall case."."""
        raise NotImplementedError

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        """Why a piece can't go back to what it was, by its key."""
        return {}

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        """Take the rows back that were made for these finds."""

    def still_so(self, find: Specimen, after: Any) -> bool:
        """Whether the piece is still as the act left it."""
        return bool(getattr(find, self.column) == after)


def pieces_are(count: int) -> str:
    """ "1 piece is" or "12 pieces are"."""
    return "1 piece is" if count == 1 else f"{count:,} pieces are"
