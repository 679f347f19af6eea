"""Lists of carried pieces: some cards a page, and pages by town, maker and decade."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.text import slugify

from .pieces import MARK_LABELS, CarriedPiece
from .rendered import RenderedPages, put_together

CARDS_A_PAGE = 16
CARDS_TEMPLATE = "pages/safekeeping/carried/cards.html"


@dataclass(slots=True)
class ListedGroup:
    """Pieces of one town, maker or decade."""

    words: str
    page: str
    pieces: list[CarriedPiece] = field(default_factory=list)

    @property
    def count(self) -> int:
        return len(self.pieces)


class GroupKind:
    """All towns, makers or decades: a page of each, named when the first piece of it comes."""

    def __init__(
        self, folder: str, heading: str, said: str, of: Callable[[CarriedPiece], Iterable[str]]
    ) -> None:
        self.folder, self.heading, self.said, self.of = folder, heading, said, of
        self._found: dict[str, ListedGroup] = {}
        self._names: set[str] = set()

    @property
    def page(self) -> str:
        """The page that lists them."""
        return f"{self.folder}.html"

    @property
    def groups(self) -> list[ListedGroup]:
        """By their words."""
        return sorted(self._found.values(), key=lambda group: group.words.casefold())

    def of_piece(self, piece: CarriedPiece) -> list[ListedGroup]:
        """Where it belongs."""
        return [self._group(words) for words in self.of(piece)]

    def _group(self, words: str) -> ListedGroup:
        if words not in self._found:
            name = slugify(words)[:60] or self.folder
            taken, n = name, 1
            while taken in self._names:
                n += 1
                taken = f"{name}-{n}"
            self._names.add(taken)
            self._found[words] = ListedGroup(words, f"{self.folder}/{taken}.html")
        return self._found[words]


def group_kinds() -> list[GroupKind]:
    """The three, empty."""
    return [
        GroupKind("towns", "Towns", "Towns that stand on the glass.", lambda p: [p.town] if p.town else []),
        GroupKind(
            "makers",
            "Makers",
            "Makers, where one is known or likely.",
            lambda p: [p.maker] if p.maker else [],
        ),
        GroupKind(
            "decades",
            "Decades",
            "A piece that may be of several decades stands in each.",
            lambda p: [f"{decade}s" for decade in p.decades],
        ),
    ]


def write_cards(
    pages: RenderedPages, name: str, pieces: Sequence[CarriedPiece], context: dict[str, Any]
) -> None:
    """A list of pieces as pages of cards: `name`, then the same with -2, -3 …. Raises OSError."""
    parts = [pieces[n : n + CARDS_A_PAGE] for n in range(0, len(pieces), CARDS_A_PAGE)] or [[]]
    names = [name, *(name.replace(".html", f"-{n}.html") for n in range(2, len(parts) + 1))]
    for n, part in enumerate(parts):
        pager = {
            "number": n + 1,
            "last": len(parts),
            "earlier": names[n - 1] if n else "",
            "later": names[n + 1] if n + 1 < len(parts) else "",
        }
        cards = [put_together(piece.card.replace(MARK_LABELS, piece.labels)) for piece in part]
        any_free = any(piece.free for piece in pieces)
        given = {"cards": cards, "pager": pager, "count": len(pieces), "any_free": any_free}
        pages.page(names[n], CARDS_TEMPLATE, given | context)


def write_groups(pages: RenderedPages, kind: GroupKind) -> None:
    """The list of a kind, and the pages of each of it. Raises OSError."""
    given = {"heading": kind.heading, "said": kind.said, "groups": kind.groups}
    pages.page(kind.page, "pages/safekeeping/carried/groups.html", given)
    for group in kind.groups:
        write_cards(pages, group.page, group.pieces, {"heading": group.words})
