"""Label sheets as plain geometry: where each label lies on its page, in millimetres from the top left.

The figures are those of common die-cut sheets: ``reference/sheets.csv``, each row with what it rests on.
Published margins differ by up to about 1 mm from one source to the next, so a print can be
nudged and tried on plain paper first (see ``sheet_pdf.test_page``).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from types import MappingProxyType

from dating.facts import Cells, FactFolder, keyed

LABEL_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")
PAGES_MM: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        cells.text("key", needed=True): (cells.number("width_mm"), cells.number("height_mm"))
        for cells in LABEL_FACTS.rows("papers", ("key", "width_mm", "height_mm"))
    }
)
LEAST_LABEL_MM = 6.0  # either way: what is lower has no room for a line of the smallest type and its margins
MOST_PAGE_MM, MOST_ON_PAGE = 2000.0, 1000  # far beyond any sheet: a slip of the finger
_ROUNDING_MM = 0.05  # inches turned to hundredths of a millimetre add up to this over a row


class SheetError(ValueError):
    """A sheet that cannot be: ``key`` names it, ``why`` says what is wrong, ``field`` which measure it is."""

    def __init__(self, key: str, why: str, field: str = "") -> None:
        super().__init__(f"Sheet {key}: {why}.")
        self.key = key
        self.why = why
        self.field = field


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of equal labels; refuses on creation what does not fit its page."""

    key: str
    page: str
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    # Width and height of a page that is none of the papers.
    own_page_mm: tuple[float, float] | None = None
    title: str = ""
    # The paper has no labels of its own: they are cut apart along hairlines.
    to_cut: bool = False
    roll: bool = False

    def __post_init__(self) -> None:
        if self.own_page_mm is None and self.page not in PAGES_MM:
            raise SheetError(self.key, f"page {self.page!r} is none of {', '.join(PAGES_MM)}", "page")
        if self.columns < 1 or self.rows < 1:
            least = "columns" if self.columns < 1 else "rows"
            raise SheetError(self.key, "it needs at least one column and one row", least)
        sizes = {"label_width_mm": self.label_width_mm, "label_height_mm": self.label_height_mm}
        edges = {"left_mm": self.left_mm, "top_mm": self.top_mm}
        paper = dict(zip(("page_width_mm", "page_height_mm"), self.page_size_mm, strict=True))
        for field, measure in (sizes | edges | paper).items():
            if not isfinite(measure):
                raise SheetError(self.key, "a measure is no number", field)
        for field, edge in edges.items():
            if edge < 0:
                raise SheetError(self.key, "labels begin on the paper: zero is the least", field)
        for field, size in sizes.items():
            if size <= 0:
                raise SheetError(self.key, "a label's size must be above zero", field)
            if size < LEAST_LABEL_MM:
                why = f"a label of {_short(size)} mm has no room for a number"
                raise SheetError(self.key, f"{why}, {LEAST_LABEL_MM:.0f} mm is the least", field)
        if self.columns > 1 and not self.pitch_x_mm >= self.label_width_mm - _ROUNDING_MM:
            raise SheetError(self.key, "the labels of a row overlap", "pitch_x_mm")
        if self.rows > 1 and not self.pitch_y_mm >= self.label_height_mm - _ROUNDING_MM:
            raise SheetError(self.key, "the rows overlap", "pitch_y_mm")
        for field, side in paper.items():
            if side > MOST_PAGE_MM:
                raise SheetError(self.key, f"paper is at most {MOST_PAGE_MM:,.0f} mm long", field)
        right = self.left_mm + (self.columns - 1) * self.pitch_x_mm + self.label_width_mm
        foot = self.top_mm + (self.rows - 1) * self.pitch_y_mm + self.label_height_mm
        width, height = self.page_size_mm
        if not (right <= width + _ROUNDING_MM and foot <= height + _ROUNDING_MM):
            raise SheetError(
                self.key,
                f"the labels reach {_short(right)} × {_short(foot)} mm, "
                f"beyond the page of {_short(width)} × {_short(height)} mm",
                self._beyond(),
            )
        if self.per_page > MOST_ON_PAGE:
            raise SheetError(self.key, f"a page has at most {MOST_ON_PAGE:,} labels", "rows")

    def _beyond(self) -> str:
        """The measure that leads over the edge: of one label that is too large alone its size."""
        width, height = (side + _ROUNDING_MM for side in self.page_size_mm)
        if self.left_mm + self.label_width_mm > width:
            return "label_width_mm"
        if self.left_mm + (self.columns - 1) * self.pitch_x_mm + self.label_width_mm > width:
            return "columns"
        return "label_height_mm" if self.top_mm + self.label_height_mm > height else "rows"

    @property
    def page_size_mm(self) -> tuple[float, float]:
        """Width and height of the page."""
        return self.own_page_mm or PAGES_MM[self.page]

    @property
    def per_page(self) -> int:
        """How many labels one page holds."""
        return self.columns * self.rows

    @property
    def name(self) -> str:
        """What a person reads: page, columns × rows, size of one label."""
        size = f"{_short(self.label_width_mm)} × {_short(self.label_height_mm)} mm"
        if self.roll:
            words = f"roll, {size}"
        else:
            page = self.page or " × ".join(map(_short, self.page_size_mm)) + " mm"
            words = f"{page}, {self.columns} × {self.rows}, {size}"
        return f"{self.title}: {words}" if self.title else words

    @property
    def edge_mm(self) -> float:
        """The narrowest strip between a label and the page's edge; many printers need 3 to 6 mm."""
        width, height = self.page_size_mm
        last_x, last_y = self.place(self.per_page - 1)
        return max(
            0.0,
            min(
                self.left_mm,
                self.top_mm,
                width - last_x - self.label_width_mm,
                height - last_y - self.label_height_mm,
            ),
        )

    def place(self, index: int) -> tuple[float, float]:
        """Left and top of label ``index`` (0 is the first, counted along the rows)."""
        if not 0 <= index < self.per_page:
            raise SheetError(self.key, f"there is no label {index + 1}, it holds {self.per_page}")
        row, column = divmod(index, self.columns)
        return self.left_mm + column * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm


def _short(mm: float) -> str:
    return f"{mm:.1f}".removesuffix(".0")


def _sheet(cells: Cells) -> Sheet:
    """One row of sheets.csv. Raises ReferenceError for one that cannot be."""
    try:
        wide, high, left, top, pitch_x, pitch_y = (cells.number(name) for name in LENGTHS)
        return Sheet(
            cells.text("key", needed=True),
            cells.one_of("page", PAGES_MM),
            cells.whole("columns"),
            cells.whole("rows"),
            wide,
            high,
            left,
            top,
            pitch_x,
            pitch_y,
        )
    except SheetError as error:
        raise cells.refuse("label_width_mm", error.why) from error


LENGTHS = ("label_width_mm", "label_height_mm", "left_mm", "top_mm", "pitch_x_mm", "pitch_y_mm")
SHEET_COLUMNS = ("key", "page", "columns", "rows", *LENGTHS)
SHEETS: Mapping[str, Sheet] = MappingProxyType(
    keyed(LABEL_FACTS.rows("sheets", SHEET_COLUMNS), _sheet, "key")
)


def sheet(key: str) -> Sheet:
    """The sheet of that key; a ``SheetError`` naming the known keys where there is none."""
    try:
        return SHEETS[key]
    except KeyError:
        raise SheetError(key, f"not known; known are {', '.join(SHEETS)}") from None
