"""A PDF being written, measured in millimetres from the top left as label sheets are."""

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from pathlib import Path

from PIL import Image
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from catalogue.labels import typesetting
from catalogue.labels.qr import DOTS_PER_MM, POINTS_PER_MM, QrPlan, draw_qr
from catalogue.labels.sheets import PAGES_MM
from catalogue.labels.surface import HAIRLINE, INK, SOFT, LabelPicture, Point, Surface, fitted, wave_curves

# Streams as they are: base 85 makes a file a quarter larger, and a page of labels a fifth slower.
rl_config.useA85 = False

__all__ = ["HAIRLINE", "INK", "SOFT", "PdfPage"]
_QUALITY = 85


class PdfPage(Surface):
    """The page at hand; every place is in mm from its top left corner, moved by ``offset_mm``."""

    def __init__(
        self, size: str | tuple[float, float], title: str, offset_mm: tuple[float, float] = (0.0, 0.0)
    ) -> None:
        """`size`: a paper of the table, or width and height in mm."""
        self.width_mm, self.height_mm = PAGES_MM[size] if isinstance(size, str) else size
        self._right, self._down = offset_mm
        self._bytes = BytesIO()
        self.canvas = Canvas(
            self._bytes,
            pagesize=(self.width_mm * POINTS_PER_MM, self.height_mm * POINTS_PER_MM),
            pageCompression=1,
            invariant=1,  # the same labels give the same file
        )
        self.canvas.setTitle(title)
        self.canvas.setViewerPreference("PrintScaling", "None")  # fitting to the page would move the labels
        self.canvas.setViewerPreference("DisplayDocTitle", "true")

    def x(self, mm: float) -> float:
        """Points from the left of the sheet of paper."""
        return (mm + self._right) * POINTS_PER_MM

    def y(self, mm: float) -> float:
        """Points from the foot, for a place in mm from the top."""
        return (self.height_mm - mm - self._down) * POINTS_PER_MM

    def _bounds(self, left: float, top: float, width: float, height: float) -> tuple[float, ...]:
        """The lower left corner, the width and the height of an area in points, as the canvas takes them."""
        return self.x(left), self.y(top + height), width * POINTS_PER_MM, height * POINTS_PER_MM

    def text(
        self, left: float, baseline: float, text: str, font: str, size: float, grey: float = INK
    ) -> None:
        self.canvas.setFillGray(grey)
        self.canvas.setStrokeGray(grey)
        typesetting.draw_text(self.canvas, self.x(left), self.y(baseline), text, font, size)

    def box(
        self,
        left: float,
        top: float,
        width: float,
        height: float,
        *,
        round_mm: float = 0.0,
        grey: float = HAIRLINE,
    ) -> None:
        self.canvas.setStrokeGray(grey)
        self.canvas.setLineWidth(0.1 * POINTS_PER_MM)
        self.canvas.roundRect(*self._bounds(left, top, width, height), round_mm * POINTS_PER_MM)

    def blank(self, left: float, top: float, width: float, height: float) -> None:
        """A white panel with a thin edge, over whatever is there."""
        self.canvas.setFillGray(1)
        self.canvas.rect(*self._bounds(left, top, width, height), stroke=0, fill=1)
        self.box(left, top, width, height, grey=SOFT)

    def rule(self, left: float, top: float, right: float, foot: float, *, grey: float = INK) -> None:
        self.canvas.setStrokeGray(grey)
        self.canvas.setLineWidth(0.5)
        self.canvas.line(self.x(left), self.y(top), self.x(right), self.y(foot))

    def wave(self, left: float, right: float, y: float, *, grey: float = INK, weight: float = 0.6) -> None:
        canvas = self.canvas
        canvas.saveState()
        canvas.setStrokeGray(grey)
        canvas.setLineWidth(weight)
        canvas.setLineCap(1)
        canvas.translate(self.x(left), self.y(y))
        canvas.addLiteral(_wave(round(right - left, 3)))
        canvas.restoreState()

    def shape(self, corners: Sequence[Point], *, grey: float = INK) -> None:
        if not corners:
            return
        path = self.canvas.beginPath()
        path.moveTo(self.x(corners[0][0]), self.y(corners[0][1]))
        for x, y in corners[1:]:
            path.lineTo(self.x(x), self.y(y))
        path.close()
        self.canvas.setFillGray(grey)
        self.canvas.drawPath(path, stroke=0, fill=1)

    def picture(self, picture: LabelPicture, left: float, top: float, width: float, height: float) -> None:
        left, top, width, height = fitted(picture, left, top, width, height)
        try:
            file = _for_print(picture.path, width, height)
        except OSError:
            return  # a picture that is not there leaves its room empty, not the sheet unprinted
        self.canvas.drawImage(file, *self._bounds(left, top, width, height))

    def qr(self, plan: QrPlan, left: float, top: float) -> None:
        foot = self.height_mm - top - plan.side_mm - self._down
        draw_qr(self.canvas, plan, left + self._right, foot)

    def turn(self) -> None:
        """Begin the next page."""
        self.canvas.showPage()

    def done(self) -> bytes:
        """The finished file."""
        self.canvas.showPage()
        self.canvas.save()
        return self._bytes.getvalue()


@lru_cache(maxsize=64)
def _wave(long_mm: float) -> str:
    """PDF path of a wave that begins at the origin; written once, as most labels of a sheet have the same."""

    def at(x: float, y: float) -> str:
        return f"{x * POINTS_PER_MM:.3f} {-y * POINTS_PER_MM:.3f}"

    curves = " ".join(
        f"{' '.join(at(x, y) for x, y in corners)} c" for corners in wave_curves(0.0, long_mm, 0.0)
    )
    return f"0 0 m {curves} {at(long_mm, 0.0)} l S"


def _for_print(path: Path, width_mm: float, height_mm: float) -> ImageReader:
    """The picture with as many dots as a printer of 300 dpi makes of it. Raises OSError."""
    with Image.open(path) as opened:
        opened.draft("RGB", (round(width_mm * DOTS_PER_MM), round(height_mm * DOTS_PER_MM)))
        image = opened.convert("RGB")
    image.thumbnail((max(1, round(width_mm * DOTS_PER_MM)), max(1, round(height_mm * DOTS_PER_MM))))
    file = BytesIO()
    image.save(file, "JPEG", quality=_QUALITY)
    file.seek(0)
    return ImageReader(file)
