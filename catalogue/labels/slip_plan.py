"""What a slip says, and a page of it being planned: every text is set before anything is drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from catalogue.labels.page import PdfPage
from catalogue.labels.slip_setting import Setting, set_words

STORY_FONT = "Times-Roman"
# How much of their greatest height pictures keep where words need the room.
PICTURE_SHARES = (0.9, 0.8, 0.7, 0.6, 0.52)
PICTURES_MM = 66.0


@dataclass(frozen=True, slots=True)
class SlipText:
    """What the slip says. ``where_found`` is printed as given: pass it only as exact as it may be shown."""

    number: str
    title: str
    place_line: str = ""
    made_words: str = ""
    where_found: str = ""
    story: str = ""
    treatment: str = ""
    handed_over: str = ""
    url: str = ""
    doubt: str = ""
    reasons: Sequence[str] = ()
    ruler: Mapping[str, object] = field(default_factory=dict)
    condition: str = ""
    hazards: Sequence[str] = ()
    giver: str = ""

    @property
    def printed_words(self) -> tuple[str, ...]:
        """Every text that is set on the paper as it stands."""
        return (
            *(self.title, self.place_line, self.made_words, self.where_found, self.story, self.treatment),
            *(self.handed_over, self.doubt, *self.reasons, self.condition, *self.hazards, self.giver),
        )

    @classmethod
    def of(cls, words: Mapping[str, Any]) -> "SlipText":
        """From stored words: those of an earlier year may know fewer parts, a later one's more."""
        return cls(**{each.name: words[each.name] for each in fields(cls) if each.name in words})


@dataclass(slots=True)
class SlipPlan:
    """A page being planned: its measures in mm, and every text set before anything is drawn."""

    page: PdfPage
    text: SlipText
    small: bool
    mm: float
    type: float
    margin: float

    @property
    def width(self) -> float:
        """Between the margins."""
        return self.page.width_mm - 2 * self.margin

    def words(
        self, text: str, font: str, size: float, lines: int, width: float = 0.0, *, least: float = 0.75
    ) -> Setting:
        """Set at a size of the A5 page, shrunk to three quarters, or to another `least` part of it."""
        largest = size * self.type
        return set_words(
            text,
            font,
            width_mm=width or self.width,
            largest=largest,
            smallest=largest * least,
            most_lines=lines,
        )
