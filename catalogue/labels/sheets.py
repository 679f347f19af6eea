"""Label sheets as plain geometry: where each label lies on its page, in millimetres from the top left.

The figures are those of common die-cut sheets, taken from a public set of label templates and
cross-checked on two of them; letter-20, letter-14 and letter-10 are from general knowledge.
Published margins differ by up to about 1 mm from one source to the next, so a print can be
nudged and tried on plain paper first (see ``pages.test_page``).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

PAGES_MM: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "A5": (148.0, 210.0), "A6": (105.0, 148.0)}
)
_ROUNDING_MM = 0.05  # inches turned to hundredths of a millimetre add up to this over a row


class SheetError(ValueError):
    """A sheet that cannot be: ``key`` names it, ``why`` says what is wrong."""

    def __init__(self, key: str, why: str) -> None:
        super().__init__(f"Sheet {key}: {why}.")
        self.key = key
        self.why = why


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

    def __post_init__(self) -> None:
        if self.page not in PAGES_MM:
            raise SheetError(self.key, f"page {self.page!r} is none of {', '.join(PAGES_MM)}")
        if self.columns < 1 or self.rows < 1:
            raise SheetError(self.key, "it needs at least one column and one row")
        if self.label_width_mm <= 0 or self.label_height_mm <= 0 or self.left_mm < 0 or self.top_mm < 0:
            raise SheetError(self.key, "sizes must be above zero and margins not below it")
        if self.columns > 1 and self.pitch_x_mm < self.label_width_mm - _ROUNDING_MM:
            raise SheetError(self.key, "the labels of a row overlap")
        if self.rows > 1 and self.pitch_y_mm < self.label_height_mm - _ROUNDING_MM:
            raise SheetError(self.key, "the rows overlap")
        right = self.left_mm + (self.columns - 1) * self.pitch_x_mm + self.label_width_mm
        foot = self.top_mm + (self.rows - 1) * self.pitch_y_mm + self.label_height_mm
        width, height = self.page_size_mm
        if right > width + _ROUNDING_MM or foot > height + _ROUNDING_MM:
            raise SheetError(self.key, f"the labels reach {right:.2f} × {foot:.2f} mm, beyond the page")

    @property
    def page_size_mm(self) -> tuple[float, float]:
        """Width and height of the page."""
        return PAGES_MM[self.page]

    @property
    def per_page(self) -> int:
        """How many labels one page holds."""
        return self.columns * self.rows

    @property
    def name(self) -> str:
        """What a person reads: page, columns × rows, size of one label."""
        return (
            f"{self.page}, {self.columns} × {self.rows}, "
            f"{_short(self.label_width_mm)} × {_short(self.label_height_mm)} mm"
        )

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


_ALL = (
    Sheet("a4-21", "A4", 3, 7, 63.5, 38.1, 7.2, 15.15, 66.0, 38.1),
    Sheet("letter-30", "Letter", 3, 10, 66.67, 25.4, 4.76, 12.7, 69.85, 25.4),
    Sheet("a4-14", "A4", 2, 7, 99.1, 38.1, 4.65, 15.15, 101.6, 38.1),
    Sheet("a4-16", "A4", 2, 8, 99.1, 33.9, 3.99, 12.98, 102.48, 33.9),
    Sheet("a4-24", "A4", 3, 8, 70.0, 37.0, 0.0, 0.5, 70.0, 37.0),
    Sheet("a4-40", "A4", 4, 10, 48.5, 25.4, 8.0, 21.5, 48.5, 25.4),
    Sheet("a4-65", "A4", 5, 13, 38.1, 21.2, 4.7, 10.9, 40.6, 21.2),
    Sheet("a4-80", "A4", 5, 16, 35.6, 16.9, 11.0, 13.0, 38.1, 16.9),
    Sheet("a4-270", "A4", 10, 27, 17.8, 10.0, 6.0, 13.0, 20.3, 10.0),
    Sheet("letter-10", "Letter", 2, 5, 101.6, 50.8, 3.97, 12.7, 106.36, 50.8),
    Sheet("letter-14", "Letter", 2, 7, 101.6, 33.87, 3.97, 21.17, 106.36, 33.87),
    Sheet("letter-18", "Letter", 3, 6, 60.32, 31.75, 9.46, 28.57, 68.33, 38.1),
    Sheet("letter-20", "Letter", 2, 10, 101.6, 25.4, 3.97, 12.7, 106.36, 25.4),
    Sheet("letter-60", "Letter", 4, 15, 44.45, 16.92, 7.54, 13.49, 51.59, 16.92),
    Sheet("letter-80", "Letter", 4, 20, 44.45, 12.7, 7.14, 12.7, 52.39, 12.7),
    Sheet("letter-sq9", "Letter", 3, 3, 63.5, 63.5, 7.94, 31.75, 68.26, 76.2),
)
SHEETS: Mapping[str, Sheet] = MappingProxyType({sheet.key: sheet for sheet in _ALL})
if len(SHEETS) != len(_ALL):
    raise SheetError("(table)", "two sheets share a key")


def sheet(key: str) -> Sheet:
    """The sheet of that key; a ``SheetError`` naming the known keys where there is none."""
    try:
        return SHEETS[key]
    except KeyError:
        raise SheetError(key, f"not known; known are {', '.join(SHEETS)}") from None
