"""A label or a sheet as a picture on the screen (SVG), by the same layout that the PDF is made with.

Words are set in whatever the browser has for a face, each stretch as wide as it will be on paper; a line is
in the order in which it is seen, so nothing is put in order a second time.
"""

from collections.abc import Sequence

from catalogue.common.drawings.svg import esc, num
from catalogue.common.qr_code import runs
from catalogue.labels import typesetting
from catalogue.labels.fonts import scale_of
from catalogue.labels.qr import DOTS_PER_MM, POINTS_PER_MM, QUIET_MODULES, QrPlan
from catalogue.labels.surface import HAIRLINE, INK, SOFT, LabelPicture, Point, Surface, fitted, wave_curves

_SERIF, _SANS = "'Times New Roman', Times, 'Liberation Serif', serif", "Helvetica, Arial, sans-serif"
_BOX_MM = 0.1


class SvgPage(Surface):
    """A drawing of so many mm, of which `shown` (left, top, width, height) is seen."""

    def __init__(self, width_mm: float, height_mm: float, *, shown: Sequence[float] | None = None) -> None:
        self.width_mm, self.height_mm = width_mm, height_mm
        self._shown = shown or (0.0, 0.0, width_mm, height_mm)
        self._parts: list[str] = []

    def text(
        self, left: float, baseline: float, text: str, font: str, size: float, grey: float = INK
    ) -> None:
        for part in typesetting.placed_runs(text, font, size):
            x = left + part.x / POINTS_PER_MM
            if part.run.font is None:
                self._boxes(x, baseline, size, len(part.run.text), grey)
                continue
            face = _SERIF if part.run.font.startswith("Times") else _SANS
            high = size * scale_of(part.run.font) / POINTS_PER_MM
            bold = ' font-weight="bold"' if "Bold" in part.run.font else ""
            slanted = ' font-style="italic"' if "Italic" in part.run.font else ""
            order = "" if part.run.joined else ' direction="ltr" unicode-bidi="bidi-override"'
            self._parts.append(
                f'<text x="{num(x)}" y="{num(baseline)}" font-family="{esc(face)}" font-size="{num(high)}"'
                f'{bold}{slanted}{order} xml:space="preserve" fill="{_colour(grey)}" '
                f'textLength="{num(part.width / POINTS_PER_MM)}" lengthAdjust="spacingAndGlyphs">'
                f"{esc(part.run.text)}</text>"
            )

    def _boxes(self, left: float, baseline: float, size: float, count: int, grey: float) -> None:
        """What stands for letters that no font has."""
        mm = size / POINTS_PER_MM
        for place in range(count):
            x = left + (place * typesetting.BOX_WIDTH + 0.06) * mm
            self._outline(x, baseline - 0.62 * mm, 0.5 * mm, 0.62 * mm, 0.0, grey, 0.05 * mm)

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
        self._outline(left, top, width, height, round_mm, grey, _BOX_MM)

    def _outline(
        self,
        left: float,
        top: float,
        width: float,
        height: float,
        round_mm: float,
        grey: float,
        thick: float,
        fill: str = "none",
    ) -> None:
        self._parts.append(
            f'<rect x="{num(left)}" y="{num(top)}" width="{num(width)}" height="{num(height)}" '
            f'rx="{num(round_mm)}" fill="{fill}" stroke="{_colour(grey)}" stroke-width="{num(thick)}"/>'
        )

    def paper(self, left: float, top: float, width: float, height: float, *, round_mm: float = 0.0) -> None:
        """White paper with a thin edge: a label, or the sheet it is on."""
        self._outline(left, top, width, height, round_mm, SOFT, _BOX_MM, "#fff")

    def shade(self, left: float, top: float, width: float, height: float) -> None:
        """A label that is used already."""
        self._outline(left, top, width, height, 0.0, HAIRLINE, _BOX_MM, _colour(HAIRLINE))

    def rule(self, left: float, top: float, right: float, foot: float, *, grey: float = INK) -> None:
        self._stroke(f"M{num(left)} {num(top)}L{num(right)} {num(foot)}", grey, 0.5)

    def wave(self, left: float, right: float, y: float, *, grey: float = INK, weight: float = 0.6) -> None:
        curves = "".join(
            f"C{num(x1)} {num(y1)} {num(x2)} {num(y2)} {num(x3)} {num(y3)}"
            for (x1, y1), (x2, y2), (x3, y3) in wave_curves(left, right, y)
        )
        self._stroke(f"M{num(left)} {num(y)}{curves}L{num(right)} {num(y)}", grey, weight)

    def _stroke(self, data: str, grey: float, points: float) -> None:
        self._parts.append(
            f'<path d="{data}" fill="none" stroke="{_colour(grey)}" stroke-linecap="round" '
            f'stroke-width="{num(points / POINTS_PER_MM)}"/>'
        )

    def shape(self, corners: Sequence[Point], *, grey: float = INK) -> None:
        data = "L".join(f"{num(x)} {num(y)}" for x, y in corners)
        if data:
            self._parts.append(f'<path d="M{data}Z" fill="{_colour(grey)}"/>')

    def qr(self, plan: QrPlan, left: float, top: float) -> None:
        # Moved to whole printer dots, as on paper.
        x, y = (round(mm * DOTS_PER_MM) / DOTS_PER_MM + QUIET_MODULES * plan.module_mm for mm in (left, top))
        squares = "".join(f"M{column} {row}h{length}v1h-{length}z" for column, row, length in runs(plan.rows))
        self._parts.append(
            f'<path transform="translate({num(x)} {num(y)}) scale({plan.module_mm:.5f})" d="{squares}" '
            'fill="#000" shape-rendering="crispEdges"/>'
        )

    def picture(self, picture: LabelPicture, left: float, top: float, width: float, height: float) -> None:
        x, y, wide, high = fitted(picture, left, top, width, height)
        self._parts.append(
            f'<image href="{esc(picture.url)}" x="{num(x)}" y="{num(y)}" width="{num(wide)}" '
            f'height="{num(high)}"/>'
        )

    def drawn(self, words: str, *, wide_mm: float | None = None) -> str:
        """The picture as markup, so wide; `words` say what it is to whoever can't see it."""
        wide = f' width="{num(wide_mm)}mm"' if wide_mm else ""
        return (
            f'<svg class="printed"{wide} viewBox="{" ".join(num(mm) for mm in self._shown)}" role="img">'
            f"<title>{esc(words)}</title>{''.join(self._parts)}</svg>"
        )


def _colour(grey: float) -> str:
    level = round(grey * 255)
    return f"#{level:02x}{level:02x}{level:02x}"
