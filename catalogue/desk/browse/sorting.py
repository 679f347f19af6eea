"""The orders a list of finds can be shown in."""

from dataclasses import dataclass

from django.db.models import F, QuerySet
from django.db.models.functions import Coalesce, Lower

from catalogue.specimens.models import Specimen

NUMBER = ("number_year", "number_ordinal", "number_piece", "number_part")


@dataclass(frozen=True, slots=True)
class Order:
    """`key` as the address says it; `first` and `turned` tell what stands at the top each way round."""

    key: str
    label: str
    first: str
    turned: str


ORDERS = (
    Order("number", "number", "newest first", "oldest first"),
    Order("made", "year made", "oldest first", "youngest first"),
    Order("name", "name", "A to Z", "Z to A"),
    Order("town", "town", "A to Z", "Z to A"),
    Order("changed", "last change", "latest first", "longest ago first"),
)
_KNOWN = {order.key: order for order in ORDERS}


def read_order(text: str) -> tuple[Order, bool, bool]:
    """The order asked for, whether it is turned round, and whether the words were understood."""
    key, turned = text.removeprefix("-"), text.startswith("-")
    if key in _KNOWN:
        return _KNOWN[key], turned, True
    return _KNOWN["number"], False, not text


def in_order(finds: QuerySet[Specimen], order: Order, turned: bool) -> QuerySet[Specimen]:
    """Finds in that order; what has no year or town comes last either way, the number breaks ties."""
    newest = tuple(f"-{column}" for column in NUMBER[:3]) + ("number_part",)
    if order.key == "number":
        return finds.order_by(*NUMBER) if turned else finds.order_by(*newest)
    if order.key == "changed":
        return finds.order_by("changed" if turned else "-changed", *newest)
    column = {
        "made": Coalesce("made_best", "made_from", "made_to"),
        "name": Lower("what"),
        "town": Lower(F("town__name")),
    }[order.key]
    by = column.desc(nulls_last=True) if turned else column.asc(nulls_last=True)
    return finds.order_by(by, *newest)
