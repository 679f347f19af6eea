"""The pieces of a place as they stand, a page of them: to scale, and each with the steps that it can make."""

from dataclasses import dataclass

from django.core.paginator import Page, Paginator

from catalogue.pages.parts.elevations import Elevation, ElevationPlate
from catalogue.pages.parts.paging import page_of
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen
from catalogue.specimens.services.shelf_order import order_version, pieces_in_order

from .arranging import LAST, PIECES_ON_A_PAGE


@dataclass(frozen=True, slots=True)
class StandingPiece:
    """A piece of a plate; `left` and `right`: what its buttons send, empty at either end."""

    elevation: Elevation
    left: str
    right: str
    focus: str

    @property
    def find(self) -> Specimen:
        return self.elevation.find


@dataclass(frozen=True, slots=True)
class PiecesHere:
    """A page of the pieces of a place; `said` where that page is not there; `keys` of all in their order."""

    place: Place
    page: "Page[int]"
    finds: list[Specimen]
    said: str
    keys: list[int]

    @property
    def count(self) -> int:
        return len(self.keys)

    @property
    def version(self) -> str:
        """Of the order: what the buttons carry."""
        return order_version(self.keys)

    @property
    def choice(self) -> str:
        """The list that holds all of them, for an act on all."""
        return f"?place={self.place.pk}" if self.count > len(self.finds) else ""

    @property
    def after(self) -> int:
        """Before which piece one stands that is put last on this page."""
        end = self.page.end_index()
        return self.keys[end] if end < len(self.keys) else LAST

    def standing(self, plate: ElevationPlate, at: str = "", way: str = "") -> list[StandingPiece]:
        """The plate's pieces with their steps; `at`, `way`: the piece and the button pressed last."""
        rows = []
        for n, each in enumerate(plate.standing, self.page.start_index() - 1):
            key, last = each.find.pk, len(self.keys) - 1
            left = f"{key}-{self.keys[n - 1]}" if n else ""
            right = f"{key}-{self.keys[n + 2] if n + 2 <= last else LAST}" if n < last else ""
            focus = way if str(key) == at and (left if way == "left" else right) else ""
            rows.append(StandingPiece(each, left, right, focus))
        return rows


def pieces_here(place: Place, asked: str) -> PiecesHere:
    """The page asked for. Three queries: the keys, the order, the page's finds."""
    keys = pieces_in_order(place)
    page, said = page_of(Paginator(keys, PIECES_ON_A_PAGE), asked)
    here = list(page.object_list)
    found = Specimen.objects.with_card_parts().in_bulk(here)
    return PiecesHere(place, page, [found[key] for key in here if key in found], said, keys)
