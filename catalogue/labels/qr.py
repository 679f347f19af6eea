"""QR codes as vectors: whole printer dots, a quiet zone of four modules, correction level M at least.

Sizes follow ISO/IEC 18004 (modules = 17 + 4 × version; four light modules on every side). A module
of 0.33 mm reads close up and 0.4 mm and more reads comfortably with a phone (a maker's advice on the
web and our own prints); whole dots of a 300 dpi printer keep every edge crisp.
"""

from dataclasses import dataclass
from functools import lru_cache

from reportlab.pdfgen.canvas import Canvas

from catalogue.common.qr_code import Modules, dark_spans, modules

QUIET_MODULES = 4
DOTS_PER_MM = 300 / 25.4
LEAST_DOTS = 4  # 0.339 mm
MOST_DOTS = 7  # 0.593 mm: larger only takes room from the words
POINTS_PER_MM = 72 / 25.4


class QrDoesNotFit(ValueError):
    """The code needs more room than there is: ``needs_mm`` against ``space_mm``."""

    def __init__(self, text: str, needs_mm: float, space_mm: float) -> None:
        super().__init__(
            f"A code for {text[:60]!r} needs {needs_mm:.1f} mm with its quiet zone; "
            f"the label has {space_mm:.1f} mm. Use a larger label, a shorter address, or the number alone."
        )
        self.text = text
        self.needs_mm = needs_mm
        self.space_mm = space_mm


@dataclass(frozen=True, slots=True)
class QrPlan:
    """A code ready to draw: rows of modules (1 = dark) and the size of one module."""

    rows: Modules
    module_mm: float

    @property
    def side_mm(self) -> float:
        """Width and height with the quiet zone."""
        return (len(self.rows) + 2 * QUIET_MODULES) * self.module_mm


def fit_qr(text: str, space_mm: float) -> QrPlan:
    """The code with the largest module of whole dots that fits into a square of ``space_mm``."""
    rows = modules(text)
    across = len(rows) + 2 * QUIET_MODULES
    dots = min(MOST_DOTS, int(space_mm * DOTS_PER_MM / across + 1e-9))
    if dots < LEAST_DOTS:
        raise QrDoesNotFit(text, across * LEAST_DOTS / DOTS_PER_MM, space_mm)
    return QrPlan(rows, dots / DOTS_PER_MM)


def draw_qr(canvas: Canvas, plan: QrPlan, left_mm: float, foot_mm: float) -> None:
    """Draw on a PDF page, the quiet zone's lower left corner at the given place (moved to whole dots)."""
    step = plan.module_mm * POINTS_PER_MM
    left = round(left_mm * DOTS_PER_MM) / DOTS_PER_MM * POINTS_PER_MM + QUIET_MODULES * step
    foot = round(foot_mm * DOTS_PER_MM) / DOTS_PER_MM * POINTS_PER_MM + QUIET_MODULES * step
    canvas.saveState()
    canvas.setFillGray(0)
    canvas.transform(step, 0, 0, step, left, foot)
    canvas.addLiteral(_squares(plan.rows))
    canvas.restoreState()


@lru_cache(maxsize=64)
def _squares(rows: Modules) -> str:
    """PDF path of the dark modules, one unit each: filled at once, so that no hairline shows between rows.

    Written out as text because the library's own path calls take three times as long.
    """
    top = len(rows) - 1
    squares = [
        f"{start} {top - y} {end - start} 1 re"
        for y, row in enumerate(rows)
        for start, end in dark_spans(row)
    ]
    return f"{' '.join(squares)} f"
