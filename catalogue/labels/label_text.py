"""What stands on a label, the kinds of label, and the parts that are chosen of each."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final

from catalogue.common.drawings.year_axis import Curve, YearAxis, YearBounds
from catalogue.labels.surface import LabelPicture


@dataclass(frozen=True, slots=True)
class LabelRuler:
    """A find's years to be drawn on an axis: a curve, candidate years, or a window with an open side."""

    axis: YearAxis
    curve: Curve = ()
    years: tuple[int, ...] = ()
    window: YearBounds = (None, None)


@dataclass(frozen=True, slots=True)
class ListRow:
    """A line of a box list; ``note`` is what to be careful of."""

    number: str
    title: str = ""
    place_line: str = ""
    made_words: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one label; whatever is empty is left out.

    ``place_line`` is the town or maker, ``made_words`` the window of years in words, ``kept_at`` the place
    where the piece stands, ``count`` how many pieces it is about, ``code`` what the code holds, ``note`` what
    to be careful of.
    """

    number: str
    title: str = ""
    place_line: str = ""
    made_words: str = ""
    code: str = ""
    note: str = ""
    kept_at: str = ""
    count: str = ""
    ruler: LabelRuler | None = None
    picture: LabelPicture | None = None
    rows: tuple[ListRow, ...] = field(default=())


PART_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "picture": "Picture",
        "number": "Number",
        "title": "What it is",
        "place_line": "Town or maker",
        "made_words": "Years",
        "ruler": "Year ruler",
        "kept_at": "Place where it stands",
        "count": "How many pieces",
        "code": "Code",
    }
)
# Of a place other things stand there.
PLACE_PART_NAMES: Mapping[str, str] = MappingProxyType(
    {"number": "Name", "title": "What it is inside", "place_line": "What to type for it (PLACE-12)"}
)
# It is no part to be chosen: where a hazard is known, it stands.
HAZARD_PART: Final = "note"


@dataclass(frozen=True, slots=True)
class LabelKind:
    """A kind of label: ``may_have`` are the parts to choose from, ``parts`` those that are printed.

    ``about`` says what one label is of: a find, a group of finds, all of them (a list), or a place. A label
    smaller than ``least_mm`` (its longer side, its shorter one) has no room for this kind.
    """

    key: str
    name: str
    about: str
    may_have: tuple[str, ...]
    parts: frozenset[str]
    usual_sheet: str
    least_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def has_code(self) -> bool:
        """Whether a code is printed."""
        return "code" in self.parts

    def name_of(self, part: str) -> str:
        """What a part is called in the list of choices."""
        return (PLACE_PART_NAMES if self.about == "place" else {}).get(part) or PART_NAMES[part]

    def with_parts(self, chosen: Collection[str]) -> "LabelKind":
        """The same with the parts that were chosen of those it may have."""
        return replace(self, parts=frozenset(chosen) & frozenset(self.may_have))


_WORDS = ("number", "title", "place_line", "made_words", "kept_at", "code")
_ALL = (
    LabelKind(
        "shelf",
        "Shelf label",
        "find",
        _WORDS,
        frozenset({"number", "title", "place_line", "made_words", "code"}),
        "a4-21",
    ),
    LabelKind(
        "tie-on",
        "Tag to tie on, with a place for the hole",
        "find",
        _WORDS,
        frozenset({"number", "title", "code"}),
        "tie-on-a4",
        (40.0, 20.0),
    ),
    LabelKind(
        "card",
        "Exhibit card, with picture and year ruler",
        "find",
        ("picture", "title", "place_line", "made_words", "ruler", "kept_at", "number", "code"),
        frozenset({"picture", "title", "place_line", "made_words", "ruler", "number", "code"}),
        "cards-a4",
        (60.0, 40.0),
    ),
    LabelKind(
        "edge",
        "Shelf edge strip: one line",
        "find",
        _WORDS,
        frozenset({"number", "title", "made_words"}),
        "strips-a4",
        (40.0, 6.0),
    ),
    LabelKind(
        "list",
        "List of what is in a box",
        "list",
        ("number", "title", "place_line", "made_words", "count", "code"),
        frozenset({"number", "title", "place_line", "made_words", "count", "code"}),
        "list-a4",
        (90.0, 60.0),
    ),
    LabelKind(
        "heading",
        "Heading for a group",
        "group",
        ("title", "made_words", "count"),
        frozenset({"title", "made_words", "count"}),
        "headings-a4",
    ),
    LabelKind(
        "place",
        "The label of a place itself",
        "place",
        ("number", "title", "place_line", "count", "code"),
        frozenset({"number", "title", "place_line", "code"}),
        "a4-21",
    ),
)
LABEL_KINDS: Mapping[str, LabelKind] = MappingProxyType({kind.key: kind for kind in _ALL})


def hazard_note(hazards: Sequence[str]) -> str:
    """The line on paper of what to be careful of; empty where nothing is known. The one rule of all kinds."""
    return f"Careful: {', '.join(dict.fromkeys(hazards))}" if hazards else ""
