"""The sheet for the wall as one page: lines and times, steps, then every piece with boxes to tick."""

import math

from catalogue.labels import typesetting
from catalogue.labels.page import INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.typesetting import TypeRoom, ellipsize, fit, wrap

from .printing import draw_lines, draw_picture, lines_height
from .sheet import SheetPiece, SheetText

SHEET_MARGIN_MM, COLUMN_GAP_MM = 11.0, 5.0
# Room for the number of a step, two digits of the largest type.
INDENT_MM = 6.5
MOST_PIECES = 24


def bath_sheet_pdf(text: SheetText, *, size: str = "A4") -> bytes:
    """One page, whatever is on it: steps and pieces shrink until both have room."""
    page = PdfPage(size, text.title)
    y = _head(page, text)
    y = _pour(page, text, y)
    shown = text.pieces[:MOST_PIECES]
    columns = 3 if len(shown) > 2 else 2
    rows = math.ceil(len(shown) / columns)
    foot = page.height_mm - SHEET_MARGIN_MM
    grid = min(rows * 44.0, max(rows * 15.0, (foot - y) * 0.48)) if rows else 0.0
    y = _steps(page, text, y, foot - grid - (6.0 if rows else 0.0))
    if rows:
        _pieces(page, text, shown, columns, y + 1.5, foot)
    return page.done()


def _head(page: PdfPage, text: SheetText) -> float:
    width = (page.width_mm - 2 * SHEET_MARGIN_MM) * POINTS_PER_MM
    block = fit(
        text.title,
        typesetting.NUMBER_FONT,
        TypeRoom(width=width, height=60, largest=24, smallest=15, most_lines=1),
    )
    y = page.block(SHEET_MARGIN_MM, SHEET_MARGIN_MM, block) if block else SHEET_MARGIN_MM
    y = draw_lines(
        page, f"Hydrochloric acid, {text.about}", SHEET_MARGIN_MM, y + 0.5, width / POINTS_PER_MM, 10.5
    )
    page.wave(SHEET_MARGIN_MM, page.width_mm - SHEET_MARGIN_MM, y + 2.0)
    return y + 5.0


def _pour(page: PdfPage, text: SheetText, top: float) -> float:
    """The vessel with its lines, the amounts, the times; gives the mm where they end."""
    tall = 40.0
    _vessel(page, text, SHEET_MARGIN_MM, top, 44.0, tall)
    y, left, room = top, SHEET_MARGIN_MM + 64.0, 66.0
    for name, amount, where in text.pour:
        page.text(left, y + 3.2, name, typesetting.TEXT_FONT, 8.5, SOFT)
        page.text(left, y + 9.2, amount, typesetting.NUMBER_FONT, 16)
        aside = typesetting.width_of(amount, typesetting.NUMBER_FONT, 16) / POINTS_PER_MM + 3
        said = fit(
            f"to {where}",
            typesetting.TEXT_FONT,
            TypeRoom(width=(room - aside) * POINTS_PER_MM, height=24, largest=9, smallest=6.5),
        )
        if said:
            page.block(left + aside, y + 5.0, said)
        y += 13.0
    y, left = top, page.width_mm - SHEET_MARGIN_MM - 48.0
    for name, time in text.times:
        page.text(left, y + 5.5, name, typesetting.TEXT_FONT, 9, SOFT)
        page.box(left + 20.0, y, 28.0, 8.2, grey=SOFT)
        page.text(left + 22.5, y + 6.2, time, typesetting.NUMBER_FONT, 15)
        y += 10.0
    return top + tall + 3.0


def _vessel(page: PdfPage, text: SheetText, left: float, top: float, width: float, height: float) -> None:
    shape = text.shape
    scale = min(width / shape.widest_mm, height / shape.height_mm)
    middle, foot = left + width / 2, top + height
    canvas = page.canvas

    def half(mm: float) -> float:
        return shape.width_at(mm) * scale / 2

    for mm, _ in text.rings:
        canvas.setDash(1, 2)
        page.rule(middle - half(mm), foot - mm * scale, middle + half(mm), foot - mm * scale, grey=SOFT)
    canvas.setDash()
    heights = [foot - mm * scale for mm, _ in text.lines]
    # Words of lines that are close together stand apart.
    label = foot + 10
    for (mm, words), y in zip(text.lines, heights, strict=True):
        label = min(y, label - 4.2)
        page.rule(middle - half(mm), y, middle + half(mm), y)
        page.rule(middle + half(mm), y, left + width + 2.5, label)
        page.text(left + width + 3.2, label + 1.1, words, typesetting.TEXT_FONT, 8.5)
    top_half, low_half = half(shape.height_mm), half(0)
    canvas.setLineWidth(1.4)
    canvas.setStrokeGray(INK)
    path = canvas.beginPath()
    path.moveTo(page.x(middle - top_half), page.y(foot - shape.height_mm * scale))
    path.lineTo(page.x(middle - low_half), page.y(foot))
    path.lineTo(page.x(middle + low_half), page.y(foot))
    path.lineTo(page.x(middle + top_half), page.y(foot - shape.height_mm * scale))
    canvas.drawPath(path)


def _steps(page: PdfPage, text: SheetText, top: float, foot: float) -> float:
    """Steps in two columns with what to mind beneath each, first aid in a frame; gives where they end."""
    column = (page.width_mm - 2 * SHEET_MARGIN_MM - COLUMN_GAP_MM) / 2
    for size in (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0):
        heights = [_step_height(step, column, size) for step in text.steps]
        room = page.width_mm - 2 * SHEET_MARGIN_MM - 6
        aid_height = lines_height(text.aid, size, room, 0.6, font=typesetting.TITLE_FONT) + 3.0
        aid_height += lines_height([text.defer], size, room, 0.6)
        tallest, split = _halves(heights)
        if top + tallest + aid_height + 3 <= foot:
            break
    y = top
    for place, step in enumerate(text.steps):
        left = SHEET_MARGIN_MM if place < split else SHEET_MARGIN_MM + column + COLUMN_GAP_MM
        if place == split:
            y = top
        page.text(left, y + size * 0.86 / POINTS_PER_MM, f"{place + 1}", typesetting.TITLE_FONT, size)
        y = draw_lines(
            page, step[0], left + INDENT_MM, y, column - INDENT_MM, size, font=typesetting.TITLE_FONT
        )
        if step[1]:
            y = draw_lines(page, step[1], left + INDENT_MM, y, column - INDENT_MM, size * 0.92, grey=SOFT)
        y += 1.0
    y = top + tallest + 1.0
    page.box(SHEET_MARGIN_MM, y, page.width_mm - 2 * SHEET_MARGIN_MM, aid_height, grey=INK)
    at = y + 1.4
    for each in text.aid:
        at = draw_lines(page, each, SHEET_MARGIN_MM + 3, at, room, size, font=typesetting.TITLE_FONT) + 0.6
    draw_lines(page, text.defer, SHEET_MARGIN_MM + 3, at, room, size)
    return y + aid_height


def _step_height(step: tuple[str, str], column: float, size: float) -> float:
    height = lines_height([step[0]], size, column - INDENT_MM, 1.0, font=typesetting.TITLE_FONT)
    return height + (lines_height([step[1]], size * 0.92, column - INDENT_MM, 0.0) if step[1] else 0.0)


def _halves(heights: list[float]) -> tuple[float, int]:
    """Where to break into two columns so that the taller one is lowest, and its height."""
    options = [(max(sum(heights[:n]), sum(heights[n:])), n) for n in range(len(heights) + 1)]
    return min(options)


def _pieces(
    page: PdfPage, text: SheetText, shown: list[SheetPiece], columns: int, top: float, foot: float
) -> None:
    left_out = len(text.pieces) - len(shown)
    title = "Tick each as it comes out: growth left none, some or much"
    if left_out:
        title += f" ({left_out} more are on the screen)"
    page.text(SHEET_MARGIN_MM, top + 3.0, title, typesetting.TITLE_FONT, 9)
    top += 4.6
    rows = math.ceil(len(shown) / columns)
    width = (page.width_mm - 2 * SHEET_MARGIN_MM - (columns - 1) * 3.0) / columns
    height = min(44.0, (foot - top) / rows)
    for place, piece in enumerate(shown):
        x = SHEET_MARGIN_MM + (place % columns) * (width + 3.0)
        _piece(page, piece, x, top + (place // columns) * height, width, height - 1.6)


def _piece(page: PdfPage, piece: SheetPiece, left: float, top: float, width: float, height: float) -> None:
    page.box(left, top, width, height, grey=SOFT)
    pic = min(24.0, height * 0.72)
    draw_picture(page, piece.picture, left + 1, top + 1, pic, height - 2)
    x, room = left + pic + 2.5, (width - pic - 4) * POINTS_PER_MM
    small = min(9.5, height * 0.36)
    y = top + small * 0.55
    page.text(x, y + 1.6, piece.number, typesetting.NUMBER_FONT, small * 1.55)
    y += 2.0
    what = wrap(piece.what, typesetting.TEXT_FONT, small, room)
    kept = 2 if height > 30 and len(what) > 1 else 1
    what = [*what[: kept - 1], ellipsize(" ".join(what[kept - 1 :]), typesetting.TEXT_FONT, small, room)]
    for words in what:
        y += small * 1.12 / POINTS_PER_MM
        page.text(x, y, words, typesetting.TEXT_FONT, small)
    for words in (piece.sizes, piece.mark, f"out {piece.out}" if piece.out else ""):
        y += small * 1.12 / POINTS_PER_MM
        # Sizes and mark tell pieces apart when their tags are gone: smaller rather than cut short.
        wide = max(1.0, typesetting.width_of(words, typesetting.TEXT_FONT, small))
        size = small * max(0.5, min(1.0, 0.99 * room / wide))
        page.text(
            x,
            y,
            ellipsize(typesetting.clean(words), typesetting.TEXT_FONT, size, room),
            typesetting.TEXT_FONT,
            size,
        )
    y = top + height - 1.6
    for place, words in enumerate(("none", "some", "much")):
        at = x + place * (room / POINTS_PER_MM) / 3
        page.box(at, y - 2.9, 2.9, 2.9, grey=INK)
        page.text(at + 3.6, y - 0.5, words, typesetting.TEXT_FONT, min(7.0, small))
