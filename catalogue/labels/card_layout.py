"""The layout of an exhibit card: picture, what it is, years with their ruler, number and code."""

from typing import Final

from catalogue.common.drawings.year_curve import clean_curve, even_curve
from catalogue.labels import typesetting
from catalogue.labels.label_layout import (
    LEAST_POINTS,
    LabelArea,
    LineStyle,
    code_for,
    mm,
    printed,
    set_part,
)
from catalogue.labels.label_text import HAZARD_PART, LabelKind, LabelRuler, LabelText
from catalogue.labels.qr import QrPlan
from catalogue.labels.surface import HAIRLINE, INK, SOFT, Point, Surface
from catalogue.labels.typesetting import Block, TypeRoom

_MARGIN_MM: Final = 5.0
_GAP_MM: Final = 1.4
_RULER_MM: Final = 12.0
_TICK_POINTS: Final = 6.5
_FOOT = LineStyle("number", typesetting.TEXT_FONT, 9.0, 1, 0, SOFT)
_LINES: Final = (
    LineStyle("title", typesetting.NUMBER_FONT, 19.0, 3, 0, INK),
    LineStyle("place_line", typesetting.TEXT_FONT, 11.0, 2, 2, INK),
    LineStyle("made_words", typesetting.WORDS_FONT, 13.0, 2, 1, INK),
    LineStyle("kept_at", typesetting.TEXT_FONT, 8.5, 2, 3, SOFT),
    LineStyle(HAZARD_PART, typesetting.TITLE_FONT, 9.0, 3, -1, INK),
)


def draw_card(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """A card higher than wide has its picture above its words, a wider one beside them."""
    inner = area.inset(*[min(_MARGIN_MM, area.width * 0.06)] * 4)
    code = code_for(label, area.width, area.height, kind)
    picture = label.picture if "picture" in kind.parts else None
    if picture and area.height > area.width:
        high = inner.height * 0.46
        page.picture(picture, inner.left, inner.top, inner.width, high)
        inner = inner.inset(top=high + 3.0)
    elif picture:
        wide = inner.width * 0.36
        page.picture(picture, inner.left, inner.top, wide, inner.height)
        inner = inner.inset(left=wide + 4.0)
    _words(page, label, kind, inner.inset(foot=_foot(page, label, kind, inner, code)))


def _foot(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea, code: QrPlan | None) -> float:
    """The ruler, the number below it and the code beside both; gives how high that is, mm."""
    foot = area.top + area.height
    side = code.side_mm if code else 0.0
    if code:
        page.qr(code, area.left + area.width - side + 1.0, foot - side + 1.0)
    room = area.width - (side + 1.0 if code else 0.0)
    taken = 0.0
    if number := printed(label, kind, "number"):
        block = set_part(
            _FOOT, number, TypeRoom.in_mm(width=room, height=8.0, largest=9.0, smallest=LEAST_POINTS)
        )
        if block:
            taken = mm(block.height)
            page.block(area.left, foot - taken, block, SOFT)
    if label.ruler and "ruler" in kind.parts and area.height > 2 * _RULER_MM:
        draw_ruler(page, label.ruler, LabelArea(area.left, foot - taken - _RULER_MM, room, _RULER_MM - 1.5))
        taken += _RULER_MM
    return max(taken, side) + _GAP_MM


def _words(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    y = area.top
    for style, block in _set(label, kind, area, area.height):
        y = page.block(area.left, y, block, style.grey, room_mm=area.width) + _GAP_MM


def _set(label: LabelText, kind: LabelKind, area: LabelArea, height: float) -> list[tuple[LineStyle, Block]]:
    scale = min(1.25, max(0.55, area.width / 85.0))
    left = height
    chosen = []
    for style in sorted(_LINES, key=lambda style: style.turn):
        words = printed(label, kind, style.part)
        if not words:
            continue
        largest = max(LEAST_POINTS + 1.0, style.largest * scale)
        block = set_part(
            style,
            words,
            TypeRoom.in_mm(width=area.width, height=left, largest=largest, smallest=max(6.0, largest * 0.6)),
        ) or set_part(
            style, words, TypeRoom.in_mm(width=area.width, height=left, largest=6.0, smallest=LEAST_POINTS)
        )
        if block:
            chosen.append((style, block))
            left -= mm(block.height) + _GAP_MM
    return sorted(chosen, key=lambda pair: _LINES.index(pair[0]))


def draw_ruler(page: Surface, ruler: LabelRuler, area: LabelArea) -> None:
    """The years on an axis: a band, or a stroke for each candidate year; round years stand below it."""
    axis = ruler.axis
    per_year = area.width / (axis.last - axis.first)
    foot = area.top + area.height - mm(_TICK_POINTS * 1.4)
    high = foot - area.top

    def x(year: float) -> float:
        return area.left + (min(max(year, axis.first), axis.last) - axis.first) * per_year

    if ruler.years:
        for year in ruler.years:
            middle = x(year + 0.5)
            page.shape(
                [
                    (middle - 0.4, foot),
                    (middle - 0.4, area.top),
                    (middle + 0.4, area.top),
                    (middle + 0.4, foot),
                ]
            )
    else:
        curve = clean_curve(ruler.curve) or clean_curve(even_curve(*ruler.window))
        tallest = max((height for _, height in curve), default=1.0)
        corners: list[Point] = []
        for year, height in curve:
            if axis.first <= year < axis.last:
                top = foot - high * height / tallest
                corners += [(x(year), top), (x(year + 1), top)]
        if corners:
            page.shape([(corners[0][0], foot), *corners, (corners[-1][0], foot)], grey=SOFT)
    page.rule(area.left, foot, area.left + area.width, foot)
    _axis_words(page, ruler, area, foot)


def _axis_words(page: Surface, ruler: LabelRuler, area: LabelArea, foot: float) -> None:
    axis = ruler.axis
    wide = mm(typesetting.width_of("1880", typesetting.TEXT_FONT, _TICK_POINTS))
    step = next((s for s in (10, 20, 50, 100) if s * area.width / (axis.last - axis.first) > wide * 1.5), 200)
    free_from = area.left - wide
    for year in range(-(-axis.first // step) * step, axis.last + 1, step):
        at = area.left + (year - axis.first) * area.width / (axis.last - axis.first)
        page.rule(at, foot, at, foot + 1.0, grey=HAIRLINE)
        left = min(max(at - wide / 2, area.left), area.left + area.width - wide)
        if left < free_from:
            continue  # moved in from an end, it would touch its neighbour
        page.text(left, foot + mm(_TICK_POINTS * 1.25), str(year), typesetting.TEXT_FONT, _TICK_POINTS, SOFT)
        free_from = left + wide * 1.25
