"""The columns of the finds table: which there are, which are chosen, and what stands in a cell."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.common.localisation import unit_shown, units_shown
from catalogue.common.quantities import DEPTH, LENGTH, MASS, VOLUME, Quantity, figure
from catalogue.pages.parts.cards import Card
from catalogue.specimens.models import Specimen

COLUMNS_SESSION_KEY = "finds_columns"
AS_USUAL = "usual"
Cell = str | SafeString


@dataclass(frozen=True, slots=True)
class Column:
    """`order`: the order of the list by it, "" where there is none. `figure`: set to the right.

    `quantity`: its heading says the unit that the house shows, its cells only the figure.
    """

    key: str
    label: str
    cell: Callable[[Card], Cell]
    order: str = ""
    figure: bool = False
    joined: str = ""
    quantity: Quantity | None = None

    @property
    def heading(self) -> str:
        """ "Height, mm"."""
        return f"{self.label}, {unit_shown(self.quantity)}" if self.quantity else self.label


@dataclass(frozen=True, slots=True)
class ColumnChoice:
    """A column on the list of columns; `earlier` and `later` are addresses that move it."""

    column: Column
    chosen: bool
    earlier: str = ""
    later: str = ""


def _plain(name: str) -> Callable[[Card], Cell]:
    return lambda card: str(getattr(card.find, name) or "")


def _word(name: str) -> Callable[[Card], Cell]:
    return lambda card: getattr(card.find, f"get_{name}_display")()


def _quantity(key: str, label: str, name: str, quantity: Quantity) -> Column:
    def cell(card: Card) -> Cell:
        number: Decimal | None = getattr(card.find, name)
        return "" if number is None else figure(number, quantity, units_shown())

    return Column(key, label, cell, key, figure=True, quantity=quantity)


def _maker(card: Card) -> Cell:
    maker = card.find.maker
    if not maker:
        return ""
    likely = SafeString(' <span class="quiet">likely</span>') if card.find.maker_how == "likely" else ""
    return format_html('<a href="{}">{}</a>{}', maker.get_absolute_url(), maker.name, likely)


def _linked(name: str) -> Callable[[Card], Cell]:
    def cell(card: Card) -> Cell:
        row = getattr(card.find, name)
        return format_html('<a href="{}">{}</a>', row.get_absolute_url(), row.name) if row else ""

    return cell


def _site(card: Card) -> Cell:
    site = card.find.where_found
    return format_html('<a href="{}">{}</a>', site.get_absolute_url(), site.name) if site else ""


def _came_up(card: Card) -> Cell:
    dive: str = str(card.find.dive.date) if card.find.dive else ""
    return dive or card.find.came_up_words


def _grounds(card: Card) -> Cell:
    """What is to be minded of its grounds, else that they were valid; which they were is on its page."""
    grounds = card.grounds
    if grounds is None:
        return ""
    if grounds.tag:
        return format_html('<span class="tag amber">{}</span>', grounds.tag)
    return grounds.words.partition(",")[0]


TABLE_COLUMNS = (
    Column("town", "Town", _linked("town"), "town"),
    Column("maker", "Maker", _maker, "maker"),
    Column("made", "Made", lambda card: card.find.made_words or "not yet dated", "made"),
    Column("ruler", "Year ruler", lambda card: card.ruler),
    Column("stage", "Stage", _word("stage"), "stage"),
    Column("standing", "Standing", _word("standing"), "standing"),
    Column("place", "Place", _plain("place"), "place"),
    Column("bottler", "Bottler", _linked("bottler"), "bottler", joined="bottler"),
    Column("product", "Product", _linked("product"), "product", joined="product"),
    Column("kind", "Kind of vessel", _word("kind"), "kind"),
    Column("contents", "What it held", _word("contents"), "contents"),
    Column("colour", "Colour", _word("colour"), "colour"),
    _quantity("height", "Height", "height_mm", LENGTH),
    _quantity("diameter", "Diameter", "diameter_mm", LENGTH),
    _quantity("capacity", "Capacity", "capacity_ml", VOLUME),
    _quantity("mass", "Mass", "mass_g", MASS),
    Column("site", "Site", _site, "site"),
    Column("came_up", "Came up", _came_up, "number"),
    Column("grounds", "Grounds", _grounds),
    _quantity("depth", "Depth", "depth_m", DEPTH),
    Column("tag", "Field tag", _plain("field_tag")),
    Column("older", "Older numbers", _plain("older_numbers")),
)
COLUMN_BY_KEY = {column.key: column for column in TABLE_COLUMNS}
USUAL_COLUMNS = tuple(
    COLUMN_BY_KEY[key] for key in ("town", "maker", "made", "ruler", "stage", "standing", "place")
)


def read_columns(request: HttpRequest) -> tuple[list[Column], list[str]]:
    """The columns in their order, and what could not be followed in sentences.

    The address says them (`col=town&col=made`); without it, those this browser chose last; else the usual.
    """
    asked = [word for word in dict.fromkeys(request.GET.getlist("col")) if word]
    if AS_USUAL in asked:
        request.session.pop(COLUMNS_SESSION_KEY, None)
        return list(USUAL_COLUMNS), []
    unknown = [word for word in asked if word not in COLUMN_BY_KEY]
    complaints = [f"There is no column called “{word[:40]}”, so it was left out." for word in unknown[:3]]
    chosen = [COLUMN_BY_KEY[word] for word in asked if word in COLUMN_BY_KEY]
    if chosen:
        keys = [column.key for column in chosen]
        if request.session.get(COLUMNS_SESSION_KEY) != keys:
            request.session[COLUMNS_SESSION_KEY] = keys
        return chosen, complaints
    remembered = [
        COLUMN_BY_KEY[key] for key in request.session.get(COLUMNS_SESSION_KEY, ()) if key in COLUMN_BY_KEY
    ]
    return remembered or list(USUAL_COLUMNS), complaints


def choices(request: HttpRequest, chosen: list[Column]) -> list[ColumnChoice]:
    """All columns, the chosen ones first and in their order."""
    found = []
    for at, column in enumerate(chosen):
        earlier = _moved(request, chosen, at, at - 1) if at else ""
        later = _moved(request, chosen, at, at + 1) if at + 1 < len(chosen) else ""
        found.append(ColumnChoice(column, True, earlier, later))
    return found + [ColumnChoice(column, False) for column in TABLE_COLUMNS if column not in chosen]


def with_columns(finds: QuerySet[Specimen], columns: Iterable[Column]) -> QuerySet[Specimen]:
    """The finds with what these columns need of other tables."""
    names = [column.joined for column in columns if column.joined]
    return finds.select_related(*names) if names else finds


def rows_of(cards: Iterable[Card], columns: list[Column]) -> list[tuple[Card, list[tuple[Column, Cell]]]]:
    """Each find with its cells, worked out. No query, given `with_columns`."""
    return [(card, [(column, column.cell(card)) for column in columns]) for card in cards]


def _moved(request: HttpRequest, columns: list[Column], at: int, to: int) -> str:
    keys = [column.key for column in columns]
    keys[at], keys[to] = keys[to], keys[at]
    query = request.GET.copy()
    query.setlist("col", keys)
    return f"?{query.urlencode()}#columns"
