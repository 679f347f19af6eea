"""What a label is drawn on, in millimetres from the top left: a page of a PDF, a picture on the screen.

Every layout draws on a `Surface` alone, so that the picture beside the choices is what will be printed.
"""

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue.labels import typesetting
from catalogue.labels.bidi_line import runs_from_right
from catalogue.labels.qr import POINTS_PER_MM, QrPlan
from catalogue.labels.typesetting import Block

INK, SOFT, HAIRLINE = 0.0, 0.32, 0.72  # greys: labels are mostly printed in black
Point = tuple[float, float]
_WAVE_STEP_MM, _WAVE_HEIGHT_MM, _WAVES = 1.3, 0.55, 4


@dataclass(frozen=True, slots=True)
class LabelPicture:
    """A picture: its file, the address under which a browser gets it, and its size in pixels."""

    path: Path
    url: str
    width: int
    height: int


class Surface(ABC):
    """Something to draw on; every length in mm, type sizes in points, greys from 0 (black) to 1."""

    width_mm: float
    height_mm: float

    @abstractmethod
    def text(
        self, left: float, baseline: float, text: str, font: str, size: float, grey: float = INK
    ) -> None:
        """One line; ``left`` and ``baseline`` in mm, ``size`` in points."""

    @abstractmethod
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

    @abstractmethod
    def rule(self, left: float, top: float, right: float, foot: float, *, grey: float = INK) -> None:
        """A straight line, 0.5 pt."""

    @abstractmethod
    def wave(self, left: float, right: float, y: float, *, grey: float = INK, weight: float = 0.6) -> None:
        """A rule that begins as two small waves: the mark of the catalogue on paper. `weight` in points."""

    @abstractmethod
    def shape(self, corners: Sequence[Point], *, grey: float = INK) -> None:
        """A filled polygon."""

    @abstractmethod
    def qr(self, plan: QrPlan, left: float, top: float) -> None:
        """A code with its quiet zone's upper left corner there."""

    @abstractmethod
    def picture(self, picture: LabelPicture, left: float, top: float, width: float, height: float) -> None:
        """A picture, as large as it goes within these bounds and in their middle."""

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


def wave_curves(left: float, right: float, y: float) -> Iterator[tuple[Point, Point, Point]]:
    """The waves at the left of a rule as Bézier curves: two control points and the end of each."""
    at, step = left, _WAVE_STEP_MM
    for place in range(_WAVES):
        if at + step > right:
            break
        up = y + (_WAVE_HEIGHT_MM if place % 2 else -_WAVE_HEIGHT_MM)
        yield (at + step / 3, up), (at + step * 2 / 3, up), (at + step, y)
        at += step


def fitted(
    picture: LabelPicture, left: float, top: float, width: float, height: float
) -> tuple[float, float, float, float]:
    """Where a picture lies within these bounds: left, top, width and height in mm."""
    scale = min(width / max(picture.width, 1), height / max(picture.height, 1))
    wide, high = picture.width * scale, picture.height * scale
    return left + (width - wide) / 2, top + (height - high) / 2, wide, high
