"""What a person said of a sheet: what its columns are, and what is done where it leaves things open."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Self

from catalogue.specimens.models.words import Stage

from .cell_words import DayOrder
from .sheet_fields import INTO_NOTES, NOT_TAKEN, SHEET_FIELDS


@dataclass(frozen=True, slots=True)
class SheetAnswers:
    """By folded heading: the key of a fact, the unit of bare numbers, which comes first in a day."""

    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    orders: Mapping[str, str] = field(default_factory=dict)
    make_sites: bool = False
    make_dives: bool = False
    make_places: bool = False
    show_visitors: bool = False
    unread_into_notes: bool = False
    stage: str = Stage.DONE.value

    @classmethod
    def of_stored(cls, said: Mapping[str, Any]) -> Self:
        """What was stored, without words that this version doesn't know."""
        known = {NOT_TAKEN, INTO_NOTES, *SHEET_FIELDS}
        orders = {order.value for order in DayOrder}
        stage = said.get("stage", "")
        return cls(
            columns={k: v for k, v in said.get("columns", {}).items() if v in known},
            units={k: str(v) for k, v in said.get("units", {}).items()},
            orders={k: v for k, v in said.get("orders", {}).items() if v in orders},
            make_sites=bool(said.get("make_sites")),
            make_dives=bool(said.get("make_dives")),
            make_places=bool(said.get("make_places")),
            show_visitors=bool(said.get("show_visitors")),
            unread_into_notes=bool(said.get("unread_into_notes")),
            stage=stage if stage in Stage.values else Stage.DONE.value,
        )

    def to_store(self) -> dict[str, Any]:
        """As JSON has it."""
        return asdict(self)

    def remembered(self) -> dict[str, Any]:
        """What holds for a next file with these headings; what is added to the catalogue is asked anew."""
        return {"columns": self.columns, "units": self.units, "orders": self.orders, "stage": self.stage}
