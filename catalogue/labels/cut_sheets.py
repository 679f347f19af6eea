"""Paper that is printed and then cut apart (cards, tags, strips, headings, lists), and rolls of one label.

Their measures are ours: even rows in the middle of the page, edge to edge, so that one cut parts two, and at
least 8 mm from the edge of the paper, which every printer can print.
"""

from collections.abc import Mapping
from types import MappingProxyType

from catalogue.labels.sheets import LABEL_FACTS, PAGES_MM, Sheet
from dating.facts import Cells, keyed


def cut_sheet(key: str, page: str, columns: int, rows: int, width: float, height: float) -> Sheet:
    """Labels of that size in the middle of a page, edge to edge. Raises SheetError where they don't fit."""
    page_width, page_height = PAGES_MM[page]
    left, top = (page_width - columns * width) / 2, (page_height - rows * height) / 2
    return Sheet(key, page, columns, rows, width, height, left, top, width, height, to_cut=True)


def roll_of(key: str, width: float, height: float, title: str = "") -> Sheet:
    """A roll: each label is a page of its own. Raises SheetError for a size that can't be."""
    return Sheet(key, "", 1, 1, width, height, 0.0, 0.0, width, height, (width, height), title, roll=True)


def _by_key(*sheets: Sheet) -> Mapping[str, Sheet]:
    return MappingProxyType({each.key: each for each in sheets})


CUT_SHEETS = _by_key(
    cut_sheet("tie-on-a4", "A4", 2, 6, 85.0, 42.0),
    cut_sheet("tie-on-letter", "Letter", 2, 6, 85.0, 42.0),
    cut_sheet("cards-a4", "A4", 2, 2, 95.0, 135.0),
    cut_sheet("cards-letter", "Letter", 2, 2, 97.0, 125.0),
    cut_sheet("cards-low-a4", "A4", 2, 4, 95.0, 68.0),
    cut_sheet("cards-low-letter", "Letter", 2, 4, 97.0, 62.0),
    cut_sheet("headings-a4", "A4", 1, 5, 190.0, 54.0),
    cut_sheet("headings-letter", "Letter", 1, 5, 195.0, 50.0),
    cut_sheet("strips-a4", "A4", 2, 13, 95.0, 20.0),
    cut_sheet("strips-letter", "Letter", 2, 13, 97.0, 20.0),
    cut_sheet("list-a4", "A4", 1, 1, 186.0, 273.0),
    cut_sheet("list-letter", "Letter", 1, 1, 192.0, 256.0),
    cut_sheet("list-a5", "A5", 1, 1, 128.0, 190.0),
)


def _roll(cells: Cells) -> Sheet:
    return roll_of(
        cells.text("key", needed=True), cells.number("label_width_mm"), cells.number("label_height_mm")
    )


ROLLS: Mapping[str, Sheet] = MappingProxyType(
    keyed(LABEL_FACTS.rows("rolls", ("key", "label_width_mm", "label_height_mm")), _roll, "key")
)
