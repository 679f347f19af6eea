"""Acts that lead many finds to one row: a place, a town, a bottler; and to the same kind of vessel."""

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from catalogue.common.bulk_insert import insert_for_each
from catalogue.common.records import hold_below
from catalogue.common.text import isolated
from catalogue.shelves.models import Place
from catalogue.specimens.batch.piece_act import Made, PieceAct, pieces_are
from catalogue.specimens.models import Bottler, Move, Specimen, Town
from catalogue.specimens.models.words import Kind
from catalogue.specimens.services.trade import told_apart

FORMER_IS_GONE = "what it had before is in the bin, or merged"


class LinkAct(PieceAct):
    """A foreign key of many finds, set to one row or to none."""

    name: ClassVar[str]
    nothing: ClassVar[str]

    def __init__(self, row: Any = None) -> None:
        self.row = row

    @property
    def target(self) -> str:
        return isolated(self.named(self.row)) if self.row else self.nothing

    def value(self, find: Specimen) -> Any:
        return self.row.pk if self.row else None

    def shown(self, find: Specimen) -> str:
        row = getattr(find, self.name)
        return isolated(self.named(row)) if row else self.nothing

    def named(self, row: Any) -> str:
        """What the row is called, told apart from others of its name."""
        return str(row)

    def ready(self, finds: Sequence[Specimen]) -> None:
        if self.row:
            one = Specimen(**{self.name: self.row})
            hold_below(one, self.name)

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        wanted = {key for key in before.values() if key is not None}
        model: Any = Specimen._meta.get_field(self.name).related_model
        there = set(model.objects.filter(pk__in=wanted).values_list("pk", flat=True)) if wanted else set()
        return {find.pk: FORMER_IS_GONE for find in finds if before[find.pk] not in {*there, None}}


def move_rows(finds: Sequence[Specimen], to: Place | None, why: str) -> list[list[int]]:
    """Write down that these leave the places that they are stored with; key of the find and of each move."""
    whence = {"find": "id", "from_place": "place"}
    return insert_for_each(Move, Specimen, [find.pk for find in finds], copied=whence, to_place=to, why=why)


class MovePieces(LinkAct):
    """To a place, or out of theirs; each move is written down."""

    key, column, name, select = "move", "place_id", "place", ("place",)
    nothing = "no place"

    def __init__(self, row: Place | None = None, why: str = "") -> None:
        super().__init__(row)
        self.why = why

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        return {"moves": move_rows(finds, self.row, self.why)}

    def done_words(self, count: int) -> str:
        if not self.row:
            return f"{'1 piece has' if count == 1 else f'{count:,} pieces have'} no place now."
        return f"{pieces_are(count)} now in {self.target}."

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        own = rows_of(keys, made.get("moves", []))
        Move.everything.filter(pk__in=own).delete()


class SetTown(LinkAct):
    """The town that they are marked for."""

    key, column, name, select, nothing = "town", "town_id", "town", ("town",), "no town"

    def __init__(self, row: Town | None = None) -> None:
        super().__init__(row)

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} marked for {self.target} now." if self.row else _without(count, "town")


class SetBottler(LinkAct):
    """Who filled them. A bottler's years are evidence: they are dated anew."""

    key, column, name, nothing = "bottler", "bottler_id", "bottler", "no bottler"
    select = ("bottler__town",)

    def __init__(self, row: Bottler | None = None) -> None:
        super().__init__(row)

    def named(self, row: Bottler) -> str:
        return told_apart(row)

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} now of {self.target}." if self.row else _without(count, "bottler")


class SetKind(PieceAct):
    """What kind of vessel they are."""

    key, column = "kind", "kind"

    def __init__(self, kind: str = "") -> None:
        self.kind = Kind(kind).value if kind else ""

    @property
    def target(self) -> str:
        return str(Kind(self.kind).label) if self.kind else "no kind on record"

    def value(self, find: Specimen) -> str:
        return self.kind

    def shown(self, find: Specimen) -> str:
        return find.get_kind_display() or "no kind on record"

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} on record as: {self.target}."


def rows_of(keys: Sequence[int], made: Sequence[Any]) -> list[int]:
    """Keys of the rows that were made for these finds."""
    wanted = set(keys)
    return [row for find, row in made if find in wanted]


def _without(count: int, what: str) -> str:
    return f"{'1 piece has' if count == 1 else f'{count:,} pieces have'} no {what} now."
