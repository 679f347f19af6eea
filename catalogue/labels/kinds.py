"""What a label can say, and the kinds of label to choose from."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one find's label; only the number is needed.

    ``place_line`` is the town or maker, ``made_words`` the window of years in words, ``url`` the find's
    short address for the code, ``note`` a last small line.
    """

    number: str
    title: str = ""
    place_line: str = ""
    made_words: str = ""
    url: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LabelKind:
    """A choice of what is printed: ``parts`` are the fields of ``LabelText`` that are used."""

    key: str
    name: str
    parts: frozenset[str]


_ALL = (
    LabelKind(
        "shelf",
        "Shelf label: number, name, town or maker, when made, code",
        frozenset({"title", "place_line", "made_words", "url", "note"}),
    ),
    LabelKind(
        "plain", "Shelf label without a code", frozenset({"title", "place_line", "made_words", "note"})
    ),
    LabelKind("tag", "Tag: number and code", frozenset({"url"})),
    LabelKind("number", "Number alone, as large as it goes", frozenset()),
)
KINDS: Mapping[str, LabelKind] = MappingProxyType({kind.key: kind for kind in _ALL})
