"""The columns of the spreadsheet: their headings, units included, and what stands in a cell."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from .rows import PUBLIC_FIELDS, FindRow, Lettering

SheetCell = str | int | float | Decimal | date | None
PARTED_BY = " | "


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """`name` is the field of `FindRow` that it shows, which also says whether visitors see it."""

    name: str
    heading: str
    words: Callable[[Any], SheetCell] | None = None

    def cell(self, row: FindRow) -> SheetCell:
        """What stands in it for one find."""
        value = getattr(row, self.name)
        return self.words(value) if self.words else value


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _moment(value: Any) -> str:
    return value.isoformat(timespec="seconds") if value else ""


def _per_cent(value: float | None) -> float | None:
    return None if value is None else round(value * 100, 1)


def _lettering(rows: Sequence[Lettering]) -> str:
    """ "body, embossed, bottler: QUILL / & SONS | base …"."""
    return PARTED_BY.join(_one(each) for each in rows)


def _one(each: Lettering) -> str:
    about = ", ".join(filter(None, [each.where, each.how, each.says, each.certainty]))
    return f"{about}: {each.text}" if about else each.text


FIND_COLUMNS = (
    SheetColumn("number", "Number"),
    SheetColumn("what", "What it is"),
    SheetColumn("kind", "Kind of vessel"),
    SheetColumn("contents", "What it held"),
    SheetColumn("product", "Product"),
    SheetColumn("bottler", "Bottler"),
    SheetColumn("bottler_town", "Town of the bottler"),
    SheetColumn("town", "Town"),
    SheetColumn("town_region", "Region of the town"),
    SheetColumn("town_country", "Country of the town"),
    SheetColumn("maker", "Maker"),
    SheetColumn("maker_how", "How the maker is known"),
    SheetColumn("maker_probability", "Maker, % sure", _per_cent),
    SheetColumn("made", "Made"),
    SheetColumn("made_edtf", "Made (EDTF)"),
    SheetColumn("made_from", "Made from, year"),
    SheetColumn("made_to", "Made to, year"),
    SheetColumn("made_best", "Made, best year"),
    SheetColumn("colour", "Colour"),
    SheetColumn("height_mm", "Height, mm"),
    SheetColumn("diameter_mm", "Greatest diameter, mm"),
    SheetColumn("base_mm", "Base diameter, mm"),
    SheetColumn("bore_mm", "Bore, mm"),
    SheetColumn("mass_g", "Mass, g"),
    SheetColumn("capacity_ml", "Capacity, ml"),
    SheetColumn("inscriptions", "Inscriptions", _lettering),
    SheetColumn("readings", "Maker's marks as read", _lettering),
    SheetColumn("marks", "Maker's marks, part by part", PARTED_BY.join),
    SheetColumn("features", "Signs of its making", _lettering),
    SheetColumn("opinions", "Opinions", PARTED_BY.join),
    SheetColumn("region", "Made or sold in"),
    SheetColumn("site", "Site"),
    SheetColumn("water_body", "Water"),
    SheetColumn("latitude", "Latitude, °"),
    SheetColumn("longitude", "Longitude, °"),
    SheetColumn("uncertainty_m", "Position uncertain by, m"),
    SheetColumn("dive", "Dive"),
    SheetColumn("dived_on", "Came up on"),
    SheetColumn("recovered_edtf", "Came up about (EDTF)"),
    SheetColumn("where_on_site", "Where on the site"),
    SheetColumn("depth_m", "Depth, m"),
    SheetColumn("lie", "How it lay"),
    SheetColumn("found_with", "Found with"),
    SheetColumn("look", "Look aimed at"),
    SheetColumn("stage", "Stage"),
    SheetColumn("standing", "Standing"),
    SheetColumn("free_to_take", "Free to take", _yes),
    SheetColumn("shelf", "Place"),
    SheetColumn("shared", "Shared with visitors", _yes),
    SheetColumn("older_numbers", "Older numbers"),
    SheetColumn("field_tag", "Field tag"),
    SheetColumn("story", "Story"),
    SheetColumn("notes", "Notes"),
    SheetColumn("created", "Recorded at", _moment),
    SheetColumn("changed", "Last changed at", _moment),
)


def columns_for(*, public: bool) -> tuple[SheetColumn, ...]:
    """All of them, or those that visitors may see."""
    return tuple(each for each in FIND_COLUMNS if not public or each.name in PUBLIC_FIELDS)
