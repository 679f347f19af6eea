"""Sorting and pagination of a list of finds.

A page that is not there becomes the nearest one, with a sentence."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.core.paginator import Page, Paginator
from django.db.models import Case, F, IntegerField, QuerySet, Value, When
from django.db.models.functions import Coalesce, Lower

from catalogue.specimens.models import Specimen

NUMBER_COLUMNS = ("number_year", "number_ordinal", "number_piece", "number_part")


@dataclass(frozen=True, slots=True)
class Order:
    """`key` as the address says it; `first` and `turned` tell what stands at the top each way round.

    `by`: what it sorts by; None for the number and the last change, which `in_order` sorts itself.
    """

    key: str
    label: str
    first: str
    turned: str
    by: Any = None


LETTERS, LEAST_FIRST, AS_LISTED = (
    ("A to Z", "Z to A"),
    ("least first", "most first"),
    ("as listed", "turned round"),
)


def _as_listed(name: str, choices: Any) -> Case:
    """Words of a fixed list in the order of that list; what is blank has none."""
    places = (When(**{name: value}, then=Value(n)) for n, value in enumerate(choices.values) if value)
    return Case(*places, default=None, output_field=IntegerField())


_YEAR_MADE = Coalesce("made_best", (F("made_from") + F("made_to")) / 2, "made_from", "made_to")
ORDERS = (
    Order("number", "number", "newest first", "oldest first"),
    Order("made", "year made", "oldest first", "youngest first", _YEAR_MADE),
    Order("name", "name", *LETTERS, Lower("what")),
    Order("town", "town", *LETTERS, Lower(F("town__name"))),
    Order("changed", "last change", "latest first", "longest ago first"),
)
# By the head of a column in the table: the column's `order` is the key.
BY_COLUMN = (
    Order("maker", "maker", *LETTERS, Lower(F("maker__name"))),
    Order("place", "place", *LETTERS, Lower(F("place__path"))),
    Order("bottler", "bottler", *LETTERS, Lower(F("bottler__name"))),
    Order("product", "product", *LETTERS, Lower(F("product__name"))),
    Order("site", "site", *LETTERS, Lower(Coalesce("dive__site__name", "site__name"))),
    Order("stage", "stage", *AS_LISTED, _as_listed("stage", Specimen.Stage)),
    Order("standing", "standing", *AS_LISTED, _as_listed("standing", Specimen.Standing)),
    Order("kind", "kind", *AS_LISTED, _as_listed("kind", Specimen.Kind)),
    Order("contents", "contents", *AS_LISTED, _as_listed("contents", Specimen.Contents)),
    Order("colour", "colour", *AS_LISTED, _as_listed("colour", Specimen.Colour)),
    Order("height", "height", *LEAST_FIRST, F("height_mm")),
    Order("diameter", "diameter", *LEAST_FIRST, F("diameter_mm")),
    Order("capacity", "capacity", *LEAST_FIRST, F("capacity_ml")),
    Order("mass", "mass", *LEAST_FIRST, F("mass_g")),
    Order("depth", "depth", *LEAST_FIRST, F("depth_m")),
)
_KNOWN = {order.key: order for order in (*ORDERS, *BY_COLUMN)}


def read_order(text: str) -> tuple[Order, bool, bool]:
    """The order asked for, whether it is turned round, and whether the words were understood."""
    key, turned = text.removeprefix("-"), text.startswith("-")
    if key in _KNOWN:
        return _KNOWN[key], turned, True
    return _KNOWN["number"], False, not text


def in_order(finds: QuerySet[Specimen], order: Order, turned: bool) -> QuerySet[Specimen]:
    """Finds in that order; what has no year, town or size comes last either way, the number breaks ties."""
    newest = tuple(f"-{column}" for column in NUMBER_COLUMNS[:3]) + ("number_part",)
    if order.key == "number":
        return finds.order_by(*NUMBER_COLUMNS) if turned else finds.order_by(*newest)
    if order.key == "changed":
        return finds.order_by("changed" if turned else "-changed", *newest)
    by = order.by.desc(nulls_last=True) if turned else order.by.asc(nulls_last=True)
    return finds.order_by(by, *newest)


if TYPE_CHECKING:
    RowPaginator = Paginator[Any]
else:
    RowPaginator = Paginator


class CountedPaginator(RowPaginator):
    """Pages of rows whose number is known, so that it need not be asked for again.

    `keys`: the same rows in the same order, without what is joined for showing. The page is picked out of
    these and only its rows are fetched whole, still in one query: sorting whole rows to show 48 of them took
    most of the time of a list of a hundred thousand.
    """

    def __init__(
        self, rows: QuerySet[Any], per_page: int, count: int, *, keys: QuerySet[Any] | None = None
    ) -> None:
        super().__init__(rows, per_page)
        self._rows, self._keys = rows, keys
        # in place of the property of that name, which remembers its answer here
        self.__dict__["count"] = count

    def page(self, number: int | str) -> "Page[Any]":
        """That page's rows."""
        number = self.validate_number(number)
        if self._keys is None:
            return super().page(number)
        first = (number - 1) * self.per_page
        here = self._keys.values("pk")[first : first + self.per_page]
        rows: QuerySet[Any] = self._rows.filter(pk__in=here)
        return Page(rows, number, self)


def page_of(paginator: "Paginator[Any]", asked: str) -> "tuple[Page[Any], str]":
    """The page asked for in the address, and what to say where it could not be followed ("" mostly)."""
    if not asked:
        return paginator.page(1), ""
    if not (asked.isascii() and asked.isdigit()) or int(asked[:12]) < 1:
        return paginator.page(1), "That page number can't be read, so this is the first page."
    number = int(asked[:12])
    if number > paginator.num_pages:
        return paginator.page(paginator.num_pages), f"There is no page {number}; this is the last one."
    return paginator.page(number), ""
