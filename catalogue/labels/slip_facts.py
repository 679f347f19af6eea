"""What a slip tells of a piece in a line or two each: beside upright pictures, else in two columns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from catalogue.labels import typesetting
from catalogue.labels.page import SOFT
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.slip_drawings import BELOW_PICTURES_MM, SlipPicture, draw_pictures, pictures_width
from catalogue.labels.slip_plan import PICTURE_SHARES, PICTURES_MM, STORY_FONT, SlipPlan
from catalogue.labels.slip_setting import Setting, draw_setting

# Of two columns: what the names take, and between the two.
_NAME_MM, _BETWEEN_MM = 15.5, 4.0
# What `story_lacks` says where hardly anything of it would be left; where it is only shortened, 1.
NO_STORY = 3
# What facts beside a picture need at the least.
_LEAST_BESIDE_MM = 36.0
# How far they may reach below the pictures.
_TALLER_MM = 12.0


def _told(plan: SlipPlan) -> list[tuple[str, str]]:
    """What is told of it in a line or two each: name and words."""
    told = (
        ("Found", plan.text.where_found),
        ("For, by", plan.text.place_line),
        ("Cleaned", plan.text.treatment),
        ("Condition", plan.text.condition),
        ("Went", plan.text.handed_over),
    )
    return [(name, words) for name, words in told if words]


@dataclass(frozen=True, slots=True)
class FactsBeside:
    """Upright pictures at the left, and what is told of the piece beside them."""

    facts: tuple[tuple[Setting, Setting], ...]
    left: float
    width: float
    pictures_mm: float
    facts_mm: float

    def height_mm(self, plan: SlipPlan) -> float:
        """How much of the page it takes."""
        return max(self.pictures_mm + BELOW_PICTURES_MM, self.facts_mm) + 1.5 * plan.mm

    def draw(self, plan: SlipPlan, top: float, pictures: Sequence[SlipPicture]) -> float:
        group = self.left - plan.margin - _BETWEEN_MM * plan.mm
        draw_pictures(plan.page, plan.margin, top, group, self.pictures_mm, pictures)
        # As high as the pictures where there is room to spare.
        spare = max(0.0, self.pictures_mm - self.facts_mm) / max(1, len(self.facts))
        y = top
        for name, words in self.facts:
            y = draw_setting(plan.page, self.left, y, name, self.width, SOFT)
            y = draw_setting(plan.page, self.left, y, words, self.width) + 1.2 * plan.mm + spare
        return top + self.height_mm(plan)


def set_beside(
    plan: SlipPlan, pictures: Sequence[SlipPicture], story_lacks: Callable[[float], int]
) -> FactsBeside | None:
    """Facts set beside the pictures, where these are upright and both have room so; None where not.

    The largest pictures beside which least is cut; `story_lacks` tells of the story, below so many mm.
    """
    if not pictures:
        return None
    options = [
        beside
        for share in PICTURE_SHARES
        for lines in (3, 2, 1)
        if (beside := _set_at(plan, pictures, PICTURES_MM * plan.mm * share, lines))
    ]
    cut = [any(words.cut for _, words in each.facts) + story_lacks(each.height_mm(plan)) for each in options]
    if not options or min(cut) >= NO_STORY:
        return None
    return options[cut.index(min(cut))]


def _set_at(plan: SlipPlan, pictures: Sequence[SlipPicture], height: float, lines: int) -> FactsBeside | None:
    gap = _BETWEEN_MM * plan.mm
    group = pictures_width(pictures, height)
    width = plan.width - group - gap
    if width < _LEAST_BESIDE_MM * plan.mm:
        return None
    facts = tuple(
        (
            plan.words(name, typesetting.WORDS_FONT, 8.0, 1, width),
            plan.words(words, STORY_FONT, 9.5, lines, width, least=0.88),
        )
        for name, words in _told(plan)
    )
    tall = sum(name.height_mm + words.height_mm + 1.2 * plan.mm for name, words in facts)
    if tall > height + _TALLER_MM * plan.mm:
        return None
    return FactsBeside(facts, plan.margin + group + gap, width, height, tall)


def set_facts(plan: SlipPlan) -> list[list[tuple[str, Setting]]]:
    """The same in rows of two, where no picture stands beside it."""
    lines = 2 if plan.small else 3
    made = [
        (name, plan.words(words, STORY_FONT, 9.5, lines, _fact_width(plan) - _NAME_MM * plan.mm))
        for name, words in _told(plan)
    ]
    there = [(name, setting) for name, setting in made if setting.lines]
    return [there[n : n + 2] for n in range(0, len(there), 2)]


def _fact_width(plan: SlipPlan) -> float:
    return (plan.width - _BETWEEN_MM * plan.mm) / 2


def facts_height(plan: SlipPlan, facts: Sequence[Sequence[tuple[str, Setting]]]) -> float:
    """How much of the page they take, in mm."""
    rows = sum(max(setting.height_mm for _, setting in row) + 0.8 * plan.mm for row in facts)
    return rows + (2.5 * plan.mm if facts else 0.0)


def draw_facts(plan: SlipPlan, facts: Sequence[Sequence[tuple[str, Setting]]], y: float) -> float:
    """Draw them below `y`; the mm where they end."""
    names, size = _NAME_MM * plan.mm, 9.5 * plan.type
    width = _fact_width(plan)
    for row in facts:
        ends = []
        for n, (name, setting) in enumerate(row):
            left = plan.margin + n * (width + _BETWEEN_MM * plan.mm)
            base = y + size * 0.86 / POINTS_PER_MM
            plan.page.text(left, base, name, typesetting.WORDS_FONT, size, SOFT)
            ends.append(draw_setting(plan.page, left + names, y, setting, width - names))
        y = max(ends) + 0.8 * plan.mm
    return y + (2.5 * plan.mm if facts else 0.0)
