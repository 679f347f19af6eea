"""The slip that goes with a piece when it is handed over: one page, made to be kept and framed."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.labels import typesetting
from catalogue.labels.page import INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, QrPlan, fit_qr
from catalogue.labels.sheets import LABEL_FACTS, PAGES_MM
from catalogue.labels.slip_drawings import (
    BELOW_PICTURES_MM,
    SlipPicture,
    draw_pictures,
    draw_signatures,
    draw_years,
    pictures_height,
)
from catalogue.labels.slip_facts import NO_STORY, draw_facts, facts_height, set_beside, set_facts
from catalogue.labels.slip_plan import PICTURE_SHARES, PICTURES_MM, STORY_FONT, SlipPlan, SlipText
from catalogue.labels.slip_setting import (
    Setting,
    draw_setting,
    set_story,
)

SLIP_CAUTIONS = tuple(
    cells.text("words", needed=True) for cells in LABEL_FACTS.rows("slip_cautions", ("key", "words"))
)
SLIP_PAGES = ("A5", "A4", "A6")
SIGNED = ("Given by", "Received by", "On")
_CODE_MM = 24.0
_LEAST_STORY_LINES = 4
_SIGNATURES_MM = 15.5
# Type is set to be read in the hand: on the larger page it grows less than the page, on the small one it
# shrinks less.
_TYPE = {"A5": 1.0, "A4": 1.24, "A6": 0.82}


def slip(
    text: SlipText,
    *,
    size: str = "A5",
    pictures: Sequence[SlipPicture] = (),
    cautions: Sequence[str] = SLIP_CAUTIONS,
) -> bytes:
    """A PDF of one page. Whatever is too long shrinks to a floor and is then shortened at a word."""
    if size not in SLIP_PAGES:
        raise ValueError(f"A slip is printed on {', '.join(SLIP_PAGES)}, not on {size!r}.")
    page = PdfPage(size, f"{text.number} {text.title}".strip())
    scale = PAGES_MM[size][0] / PAGES_MM["A5"][0]
    plan = SlipPlan(page, text, size == "A6", scale, _TYPE[size], 12.0 * scale)
    head = _head(plan)
    foot = _draw_foot(plan, cautions)
    y = head.draw(plan, plan.margin)
    years = _years_with_room(plan, pictures, foot - y)
    left = foot - y - years.height
    beside = set_beside(plan, pictures, lambda height: _story_lacks(plan, left - height))
    if beside:
        y = beside.draw(plan, y, pictures)
        y = years.draw(plan, y)
    else:
        facts = set_facts(plan)
        height = _pictures_height(plan, pictures, left - facts_height(plan, facts))
        y = draw_pictures(page, plan.margin, y, plan.width, height, pictures)
        y = years.draw(plan, y)
        y = draw_facts(plan, facts, y)
    story = _story(plan, foot - y)
    draw_setting(page, plan.margin, y, story, plan.width)
    return page.done()


@dataclass(frozen=True, slots=True)
class _Head:
    """Number, what it is and the code, above the wave."""

    settings: tuple[tuple[Setting, float], ...]
    code: QrPlan | None
    width: float
    height: float

    def draw(self, plan: SlipPlan, top: float) -> float:
        page, y = plan.page, top
        if self.code:
            page.qr(self.code, page.width_mm - plan.margin - self.code.side_mm + 1.5, top - 2.5)
        for setting, grey in self.settings:
            y = draw_setting(page, plan.margin, y, setting, self.width, grey) + 1.2 * plan.mm
        y = top + self.height - 5.0 * plan.mm
        page.wave(plan.margin, page.width_mm - plan.margin, y)
        return top + self.height


def _head(plan: SlipPlan) -> _Head:
    code, width = None, plan.width
    if plan.text.url:
        try:
            code = fit_qr(plan.text.url, _CODE_MM * max(plan.mm, 0.8))
            width -= code.side_mm
        except QrDoesNotFit:
            code = None
    settings = (
        (plan.words(plan.text.number, typesetting.TEXT_FONT, 10.0, 1, width), SOFT),
        (plan.words(plan.text.title, typesetting.NUMBER_FONT, 21.0, 3, width), INK),
        (plan.words(plan.text.made_words, typesetting.WORDS_FONT, 14.0, 2, width), INK),
    )
    there = tuple((setting, grey) for setting, grey in settings if setting.lines)
    words = sum(setting.height_mm + 1.2 * plan.mm for setting, _ in there)
    beside = code.side_mm - 5.0 if code else 0.0
    return _Head(there, code, width, max(words, beside) + 6.5 * plan.mm)


@dataclass(frozen=True, slots=True)
class _Years:
    """The ruler, and below it how sure it is and why."""

    settings: tuple[Setting, ...]
    ruler_mm: float
    height: float

    def draw(self, plan: SlipPlan, top: float) -> float:
        y = top
        if self.ruler_mm:
            y = draw_years(plan.page, plan.margin, y, plan.width, self.ruler_mm, plan.text.ruler)
        for setting in self.settings:
            y = draw_setting(plan.page, plan.margin, y, setting, plan.width, SOFT) + 0.4 * plan.mm
        return top + self.height


def _years_with_room(plan: SlipPlan, pictures: Sequence[SlipPicture], room: float) -> _Years:
    """With both reasons; on the small page with as many as leave facts and story whole."""
    if not plan.small:
        return _years(plan, 2)
    fewest = _years(plan, 0)
    for count in (2, 1):
        years = _years(plan, count)
        if not _shortens(plan, pictures, room - years.height):
            return years
    return fewest


def _shortens(plan: SlipPlan, pictures: Sequence[SlipPicture], room: float) -> bool:
    """Whether in so many mm, pictures at their smallest, facts or story are not whole."""
    beside = set_beside(plan, pictures, lambda height: _story_lacks(plan, room - height))
    if beside:
        cut = any(words.cut for _, words in beside.facts)
        return cut or bool(_story_lacks(plan, room - beside.height_mm(plan)))
    height = pictures_height(pictures, plan.width, PICTURES_MM * plan.mm * PICTURE_SHARES[-1])
    below = height + BELOW_PICTURES_MM if height else 0.0
    return bool(_story_lacks(plan, room - facts_height(plan, set_facts(plan)) - below))


def _years(plan: SlipPlan, reasons: int) -> _Years:
    lines = [plan.text.doubt, *plan.text.reasons[:reasons]]
    settings = tuple(
        setting for line in lines if (setting := plan.words(line, typesetting.WORDS_FONT, 9.0, 2)).lines
    )
    ruler = 9.0 * plan.mm if plan.text.ruler else 0.0
    height = sum(setting.height_mm + 0.4 * plan.mm for setting in settings)
    if ruler:
        height += ruler + 5.5
    return _Years(settings, ruler, height + (2.5 * plan.mm if height else 0.0))


def _draw_foot(plan: SlipPlan, cautions: Sequence[str]) -> float:
    """Lines to sign on, and above them a framed panel of cautions; gives the mm where the panel begins."""
    page, margin = plan.page, plan.margin
    foot = page.height_mm - margin
    giver = f"{SIGNED[0]} {plan.text.giver}".strip()
    draw_signatures(page, margin, foot, plan.width, (giver, *SIGNED[1:]))
    foot -= _SIGNATURES_MM * max(plan.mm, 0.8)
    inner = plan.width - 8 * plan.mm
    size = 7.4
    told = [
        plan.words(words, typesetting.TEXT_FONT, size, 2 if plan.small else 3, inner - 3)
        for words in (*plan.text.hazards[:4], *cautions)
    ]
    told = [setting for setting in told if setting.lines]
    if not told:
        return foot - 3.0 * plan.mm
    heading = plan.words("Before you use it", typesetting.NUMBER_FONT, 8.8, 1, inner)
    gap = 0.6 * plan.mm
    height = sum(each.height_mm + gap for each in told) + heading.height_mm + gap + 3.8 * plan.mm
    top = foot - height
    page.box(margin, top, plan.width, height, round_mm=1.0, grey=SOFT)
    left, y = margin + 4 * plan.mm, top + 2.0 * plan.mm
    y = draw_setting(page, left, y, heading, inner) + gap
    for each in told:
        page.text(left, y + each.size * 0.86 / POINTS_PER_MM, "•", typesetting.TEXT_FONT, each.size)
        y = draw_setting(page, left + 3, y, each, inner - 3) + gap
    return top - 4 * plan.mm


def _story_sizes(plan: SlipPlan) -> tuple[float, float]:
    """Points: the size it is set at, and its floor."""
    return 11.0 * plan.type, 8.5 * max(plan.type, 0.85)


def _story(plan: SlipPlan, room: float) -> Setting:
    largest, smallest = _story_sizes(plan)
    return set_story(
        plan.text.story,
        STORY_FONT,
        width_mm=plan.width,
        height_mm=room,
        largest=largest,
        smallest=smallest,
    )


def _story_lacks(plan: SlipPlan, room: float) -> int:
    """Whether it is whole (0), shortened (1), or next to nothing of it (`NO_STORY`) in so many mm."""
    story = _story(plan, room)
    if not story.cut:
        return 0
    return 1 if len(story.lines) >= _LEAST_STORY_LINES else NO_STORY


def _pictures_height(plan: SlipPlan, pictures: Sequence[SlipPicture], room: float) -> float:
    """As high as leaves the story whole; where that can't be, low enough for a few lines of it."""
    heights = [
        pictures_height(pictures, plan.width, PICTURES_MM * plan.mm * share) for share in PICTURE_SHARES
    ]
    below = BELOW_PICTURES_MM
    for height in heights:
        if (
            height
            and not _story(plan, room - height - below).cut
            and (_story(plan, room - height - below).lines or not plan.text.story)
        ):
            return height
    _, smallest = _story_sizes(plan)
    least = _LEAST_STORY_LINES * smallest * 1.3 / POINTS_PER_MM if plan.text.story else 0.0
    return max(0.0, min(heights[-1], room - below - least)) if room - below - least > 12.0 else 0.0
