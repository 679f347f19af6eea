"""What a find's label says, and the kinds of label to choose from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from catalogue.labels.code_address import code_text
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import NO_YEARS


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one find's label; only the number is needed.

    ``place_line`` is the town or maker, ``made_words`` the window of years in words, ``code`` what
    the code holds, ``note`` what to be careful of, last.
    """

    number: str
    title: str = ""
    place_line: str = ""
    made_words: str = ""
    code: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LabelKind:
    """A choice of what is printed: ``parts`` are the fields of ``LabelText`` that are used."""

    key: str
    name: str
    parts: frozenset[str]

    @property
    def has_code(self) -> bool:
        """Whether a code is printed."""
        return "code" in self.parts


_ALL = (
    LabelKind(
        "shelf",
        "Shelf label: number, name, town or maker, when made, code",
        frozenset({"title", "place_line", "made_words", "code", "note"}),
    ),
    LabelKind(
        "plain", "Shelf label without a code", frozenset({"title", "place_line", "made_words", "note"})
    ),
    LabelKind("tag", "Tag: number and code", frozenset({"code"})),
    LabelKind("number", "Number alone, as large as it goes", frozenset()),
)
LABEL_KINDS: Mapping[str, LabelKind] = MappingProxyType({kind.key: kind for kind in _ALL})


def label_of(find: Specimen, base: str, *, hazards: Sequence[str] = ()) -> LabelText:
    """The words of a find's label: its town, else its maker, stands on the place line; hazards last.

    Its code is made with `base` (see `code_address`).
    """
    maker = find.maker.name if find.maker else ""
    if maker and find.maker_how == Specimen.MakerHow.LIKELY:
        maker = f"{maker}, likely"
    return LabelText(
        number=find.number,
        title=find.what,
        place_line=str(find.town) if find.town else maker,
        made_words="" if find.made_words in NO_YEARS else find.made_words,
        code=code_text(base, find.number),
        note=f"Careful: {', '.join(hazards)}" if hazards else "",
    )
