"""A PDF being written, measured in millimetres from the top left as label sheets are."""

from io import BytesIO

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from catalogue.labels import typesetting
from catalogue.labels.bidi_line import runs_from_right
from catalogue.labels.qr import POINTS_PER_MM, QrPlan, draw_qr
from catalogue.labels.sheets import PAGES_MM
from catalogue.labels.typesetting import Block

# Streams as they are: base 85 makes a file a quarter larger, and a page of labels a fifth slower.
rl_config.useA85 = False

INK, SOFT, HAIRLINE = 0.0, 0.32, 0.72  # greys: labels are mostly printed in black


class PdfPage:
    """The page at hand; every place is in mm from its top left corner, moved by ``offset_mm``."""

    def __init__(self, size: str, title: str, offset_mm: tuple[float, float] = (0.0, 0.0)) -> None:
        self.width_mm, self.height_mm = PAGES_MM[size]
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

    def text(
        self, left: float, baseline: float, text: str, font: str, size: float, grey: float = INK
    ) -> None:
        """One line; ``left`` and ``baseline`` in mm, ``size`` in points."""
        self.canvas.setFillGray(grey)
        self.canvas.setStrokeGray(grey)
        typesetting.draw_text(self.canvas, self.x(left), self.y(baseline), text, font, size)

    def block(
        self, left: float, top: float, block: Block, grey: float = INK, *, room_mm: float | None = None
    ) -> float:
        """Lines below ``top``; gives the mm where they end. With room, lines from the right end there."""
        pitch = block.height / len(block.lines) / POINTS_PER_MM
        for place, line in enumerate(block.lines):
            baseline = top + place * pitch + block.size * 0.86 / POINTS_PER_MM
            at = left
            if room_mm is not None and runs_from_right(line):
                at += room_mm - typesetting.width_of(line, block.font, block.size) / POINTS_PER_MM
            self.text(at, baseline, line, block.font, block.size, grey)
        return top + len(block.lines) * pitch

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
        """An outline, 0.1 mm thin."""
        self.canvas.setStrokeGray(grey)
        self.canvas.setLineWidth(0.1 * POINTS_PER_MM)
        self.canvas.roundRect(
            self.x(left),
            self.y(top + height),
            width * POINTS_PER_MM,
            height * POINTS_PER_MM,
            round_mm * POINTS_PER_MM,
        )

    def blank(self, left: float, top: float, width: float, height: float) -> None:
        """A white panel with a thin edge, over whatever is there."""
        self.canvas.setFillGray(1)
        self.canvas.rect(
            self.x(left),
            self.y(top + height),
            width * POINTS_PER_MM,
            height * POINTS_PER_MM,
            stroke=0,
            fill=1,
        )
        self.box(left, top, width, height, grey=SOFT)

    def rule(self, left: float, top: float, right: float, foot: float, *, grey: float = INK) -> None:
        """A straight line, 0.5 pt."""
        self.canvas.setStrokeGray(grey)
        self.canvas.setLineWidth(0.5)
        self.canvas.line(self.x(left), self.y(top), self.x(right), self.y(foot))

    def wave(self, left: float, right: float, y: float, *, grey: float = INK, weight: float = 0.6) -> None:
        """A rule that begins as two small waves: the mark of the catalogue on paper."""
        canvas, step = self.canvas, 1.3
        canvas.setStrokeGray(grey)
        canvas.setLineWidth(weight)
        canvas.setLineCap(1)
        path = canvas.beginPath()
        path.moveTo(self.x(left), self.y(y))
        at = left
        for place in range(4):
            if at + step > right:
                break
            up = y + (0.55 if place % 2 else -0.55)
            path.curveTo(
                self.x(at + step / 3),
                self.y(up),
                self.x(at + step * 2 / 3),
                self.y(up),
                self.x(at + step),
                self.y(y),
            )
            at += step
        path.lineTo(self.x(right), self.y(y))
        canvas.drawPath(path)

    def qr(self, plan: QrPlan, left: float, top: float) -> None:
        """A code with its quiet zone's upper left corner there."""
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
