"""What a slip draws beside its words: pictures before and after, the ruler of years, lines to sign on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from reportlab.lib.utils import ImageReader

from catalogue.common.drawings.year_axis import MIN_SPAN, YearScale, curve_per_year, mass_range
from catalogue.labels import typesetting
from catalogue.labels.page import HAIRLINE, INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.slip_setting import draw_setting, set_words

CAPTIONS = {"before": "before", "after": "after", "picture": ""}
_GAP_MM = 5.0
# What they are called stands there.
BELOW_PICTURES_MM = 5.0
# More stand too close to be told apart.
MOST_YEARS_NAMED = 6
_CURVE_GREY = 0.86


@dataclass(frozen=True, slots=True)
class SlipPicture:
    """A picture as a JPEG, and what it is called: a key of `CAPTIONS`."""

    name: str
    jpeg: bytes


def pictures_height(pictures: Sequence[SlipPicture], width: float, most: float) -> float:
    """How high the pictures stand side by side, in mm, within a width and a height."""
    ratios = [_ratio(each) for each in pictures]
    if not ratios or most <= 0:
        return 0.0
    return min(most, (width - _GAP_MM * (len(ratios) - 1)) / sum(ratios))


def pictures_width(pictures: Sequence[SlipPicture], height: float) -> float:
    """How wide they stand side by side at a height, in mm."""
    return sum(_ratio(each) * height for each in pictures) + _GAP_MM * (len(pictures) - 1)


def draw_pictures(
    page: PdfPage, left: float, top: float, width: float, height: float, pictures: Sequence[SlipPicture]
) -> float:
    """Side by side in thin frames, each named below; the mm where they end. Nothing where there is none."""
    if height <= 0 or not pictures:
        return top
    at = left + (width - pictures_width(pictures, height)) / 2
    for each in pictures:
        across = _ratio(each) * height
        page.canvas.drawImage(
            _reader(each),
            page.x(at),
            page.y(top + height),
            across * POINTS_PER_MM,
            height * POINTS_PER_MM,
        )
        page.box(at, top, across, height, grey=SOFT)
        if caption := CAPTIONS.get(each.name):
            page.text(at, top + height + 3.4, caption, typesetting.WORDS_FONT, 8.0, SOFT)
        at += across + _GAP_MM
    return top + height + BELOW_PICTURES_MM


def draw_years(
    page: PdfPage, left: float, top: float, width: float, height: float, years: Mapping[str, object]
) -> float:
    """The ruler: the curve over its years, candidate years as bars, the window as a thick line."""
    curve = curve_per_year([tuple(point) for point in _rows(years.get("curve"))])
    candidates = [int(year) for year in _rows(years.get("years"))]
    bounds = mass_range(curve)
    if bounds is None:
        return top
    scale = _scale(*bounds, width, left)
    foot, tallest = top + height, max(share for _, share in curve)
    if candidates:
        for year in candidates:
            x = scale.middle(year)
            page.canvas.setLineCap(0)
            page.canvas.setLineWidth(min(2.6, max(1.0, scale.per_year * POINTS_PER_MM * 0.7)))
            page.canvas.setStrokeGray(INK)
            page.canvas.line(page.x(x), page.y(foot), page.x(x), page.y(top + height * 0.42))
            if len(candidates) <= MOST_YEARS_NAMED:
                _centred(page, x, top + height * 0.3, str(year), 8.0, left, width, INK)
    else:
        _draw_curve(page, scale, curve, foot, height * 0.9 / tallest)
    page.canvas.setLineCap(0)
    page.rule(left, foot, left + width, foot, grey=SOFT)
    first, last = ([*_rows(years.get("window")), None, None])[:2]
    if not candidates and first is not None and last is not None:
        page.canvas.setLineWidth(1.8)
        page.canvas.setStrokeGray(INK)
        page.canvas.line(
            page.x(scale.kept(scale.x(first))),
            page.y(foot),
            page.x(scale.kept(scale.x(last + 1))),
            page.y(foot),
        )
    for year in scale.ticks(14.0):
        x = scale.x(year)
        page.rule(x, foot, x, foot + 1.2, grey=SOFT)
        _centred(page, x, foot + 3.9, str(year), 6.5, left, width, SOFT)
    return foot + 5.5


def draw_signatures(page: PdfPage, left: float, foot: float, width: float, names: Sequence[str]) -> None:
    """Lines to sign on, side by side above `foot`, each with its name below it."""
    gap = 6.0
    across = (width - gap * (len(names) - 1)) / len(names)
    for n, name in enumerate(names):
        at = left + n * (across + gap)
        page.rule(at, foot - 4.0, at + across, foot - 4.0, grey=SOFT)
        words = set_words(
            name, typesetting.WORDS_FONT, width_mm=across, largest=8.0, smallest=6.5, most_lines=1
        )
        draw_setting(page, at, foot - 3.4, words, across, SOFT)


def _centred(
    page: PdfPage, x: float, baseline: float, words: str, size: float, left: float, width: float, grey: float
) -> None:
    """Words in the middle over a place, held within the ruler's ends."""
    half = typesetting.width_of(words, typesetting.TEXT_FONT, size) / POINTS_PER_MM / 2
    at = min(max(left, x - half), left + width - 2 * half)
    page.text(at, baseline, words, typesetting.TEXT_FONT, size, grey)


def _draw_curve(
    page: PdfPage, scale: YearScale, curve: Sequence[tuple[int, float]], foot: float, mm_per_share: float
) -> None:
    inside = [(year, share) for year, share in curve if scale.first <= year < scale.last]
    if not inside:
        return
    path = page.canvas.beginPath()
    path.moveTo(page.x(scale.middle(inside[0][0])), page.y(foot))
    for year, share in inside:
        path.lineTo(page.x(scale.middle(year)), page.y(foot - share * mm_per_share))
    path.lineTo(page.x(scale.middle(inside[-1][0])), page.y(foot))
    path.close()
    page.canvas.setFillGray(_CURVE_GREY)
    page.canvas.setStrokeGray(HAIRLINE)
    page.canvas.setLineWidth(0.4)
    page.canvas.drawPath(path, stroke=1, fill=1)


def _scale(first: int, last: int, width: float, left: float) -> YearScale:
    """Whole decades around the years, never so few that one year fills the ruler."""
    spare = max(0, MIN_SPAN - (last - first)) // 2
    start = (first - spare - 2) // 10 * 10
    end = -(-(last + spare + 3) // 10) * 10
    return YearScale(start, end, width, left)


def _reader(picture: SlipPicture) -> ImageReader:
    return ImageReader(BytesIO(picture.jpeg))


def _ratio(picture: SlipPicture) -> float:
    width, height = _reader(picture).getSize()
    return float(width) / max(1.0, float(height))


def _rows(value: object) -> list[Any]:
    return list(value) if isinstance(value, list | tuple) else []
