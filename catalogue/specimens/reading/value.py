"""The vocabulary of a mark as read: sides, frames, symbols, arrangements; and the choices to tap.

The values themselves are those of the tables (`dating`). Parts of the vessel are `Where` beside the model.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Protocol, Self

from django.http import QueryDict
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_shapes import frame_drawing, symbol_drawing
from catalogue.common.drawings.svg import esc
from catalogue.common.text import folded
from catalogue.specimens.models import MarkReading
from catalogue.specimens.models.words import Certainty, Where
from dating import Reference
from dating.case import SLOT_WORDS
from dating.spoken import ARRANGEMENT_WORDS, mark_in_words

Choice = tuple[str, str | SafeString]
Choices = list[Choice]

SIDES: Mapping[str, str] = MappingProxyType(SLOT_WORDS)  # left, right, above, below, each as one says it
_WOVEN = frozenset({"monogram", "interlaced"})
_TEXT_WORD = re.compile(r"&|[^\W_]+(?:['’][^\W_]+)*")
NONE = "none"  # in a form or an address: looked, and there is none
NOT_LOOKED: Choice = ("", "not looked")
# Frames that are not called by their plain name: on a button, and after "in".
FRAME_WORDS: Mapping[str, str] = MappingProxyType(
    {NONE: "no frame", "inverted-triangle": "triangle, point down", "other": "another shape"}
)


def frame_choice(frame: str) -> Choice:
    """One frame to tap: its drawing and its word; no frame has no drawing."""
    words = FRAME_WORDS.get(frame, frame)
    return (frame, words if frame == NONE else with_drawing(frame_drawing(frame), words))


@lru_cache(maxsize=256)
def symbol_choice(symbol: str) -> Choice:
    """One symbol to tap: its drawing and its word, drawn once and not for each form that is only read."""
    return (symbol, with_drawing(symbol_drawing(symbol), symbol.replace("-", " ")))


@lru_cache(maxsize=1)
def frames() -> Choices:
    """Frames of the tables, drawn; not looked first, then no frame."""
    rest = [frame for frame in dating.reference().frames if frame not in (NONE, "other")]
    return [NOT_LOOKED, *map(frame_choice, (NONE, *rest, "other"))]


def symbols(own: Iterable[str] = ()) -> Choices:
    """Symbols of the tables and of `own` marks, drawn; not looked first, then no symbol."""
    known = sorted({*dating.reference().symbols, *own})
    return [NOT_LOOKED, (NONE, "no symbol"), *map(symbol_choice, known)]


@lru_cache(maxsize=1)
def arrangements() -> Choices:
    """How letters stand to each other, in words."""
    known: Collection[str] = dating.reference().arrangements
    return [NOT_LOOKED, *(pair for pair in ARRANGEMENT_WORDS.items() if pair[0] in known)]


def with_drawing(svg: str, words: str) -> SafeString:
    """A drawing of ours followed by its word, which is escaped."""
    return mark_safe(f"{svg} {esc(words)}")


LONGEST_LETTERS = 60
LONGEST_SIDE = 40  # in an address; a stored row keeps what its column holds
# Parts of a vessel that the dating service calls otherwise.
DATING_CALLS = {"closure": "lid", "neck": "shoulder"}
IN_ADDRESS = ("letters", "symbol", "frame", "arrangement", "mark_certainty", NONE, *SIDES)


class MarkOfTable(Protocol):
    """What a mark of the tables and one of the user's own have in common with a reading."""

    @property
    def letters(self) -> str: ...
    @property
    def symbol(self) -> str: ...
    @property
    def frame(self) -> str: ...
    @property
    def arrangement(self) -> str: ...
    @property
    def text(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Reading:
    """Letters, symbol, frame, how the letters stand, characters on four sides, where, and how sure."""

    letters: str = ""
    symbol: str | None = None
    frame: str | None = None
    arrangement: str | None = None
    left: str | None = None
    right: str | None = None
    above: str | None = None
    below: str | None = None
    where: str = Where.BASE.value
    certainty: str = Certainty.CERTAIN.value

    @classmethod
    def of_row(cls, row: MarkReading) -> Self:
        """The value of a row, stored or not."""
        return cls(**{name: getattr(row, name) for name in COLUMNS})

    @classmethod
    def of_mark(cls, mark: MarkOfTable) -> Self:
        """A mark of the tables, or one of the user's own, as if it had been read whole."""
        return cls(mark.letters, mark.symbol, mark.frame, mark.arrangement)

    @classmethod
    def drawn_of_mark(cls, mark: MarkOfTable) -> Self:
        """The same with its words apart, as its text tells them: a drawing breaks its lines between words."""
        if mark.arrangement in _WOVEN:
            return cls.of_mark(mark)
        letters, arrangement = words_apart(mark.letters, mark.text), mark.arrangement
        # one word, and something else stands above or below it
        alone = letters.casefold() in map(str.casefold, _TEXT_WORD.findall(mark.text))
        stacked = "plain" if alone and arrangement == "stacked" and len(letters) > 3 else arrangement
        return cls(letters, mark.symbol, mark.frame, stacked)

    @classmethod
    def of_query(cls, query: QueryDict, reference: Reference) -> Self:
        """What an address says of a mark on the base; words that the tables don't have are left out."""
        nothing = query.getlist(NONE)
        typed = {side: _typed(query, side, LONGEST_SIDE) for side in SIDES}
        beside: dict[str, Any] = {
            side: chars or ("" if side in nothing else None) for side, chars in typed.items()
        }
        certainty = _typed(query, "mark_certainty")
        return cls(
            letters=_typed(query, "letters", LONGEST_LETTERS),
            symbol="" if _typed(query, "symbol") == NONE else _known(query, "symbol", reference.symbols),
            frame=_known(query, "frame", reference.frames),
            arrangement=_known(query, "arrangement", reference.arrangements),
            certainty=certainty if certainty in Certainty.values else Certainty.CERTAIN.value,
            **beside,
        )

    @property
    def was_read(self) -> bool:
        """Whether anything of the mark itself was read, so that it counts as evidence."""
        return bool(self.letters or self.symbol or self.frame not in (None, "", NONE))

    @property
    def beside(self) -> dict[str, str]:
        """The characters on the sides that were looked at."""
        sides = {side: getattr(self, side) for side in SIDES}
        return {side: chars for side, chars in sides.items() if chars is not None}

    def set_among(self, other: "Reading") -> Self:
        """This mark with the characters that stand beside another."""
        return replace(self, **{side: getattr(other, side) for side in SIDES})

    def row(self) -> MarkReading:
        """The row to store; characters at the sides no longer than their column."""
        values = {name: getattr(self, name) for name in COLUMNS}
        longest = MarkReading._meta.get_field("right").max_length
        return MarkReading(**values | {side: chars[:longest] for side, chars in self.beside.items()})

    def query(self) -> list[tuple[str, str]]:
        """Keys and values of the address that says it; the part of the vessel is not among them."""
        said = {name: getattr(self, name) for name in ("letters", "symbol", "frame", "arrangement", *SIDES)}
        if self.symbol == "":
            said["symbol"] = NONE
        pairs = [(key, str(value)) for key, value in said.items() if value]
        pairs += [(NONE, side) for side, chars in self.beside.items() if not chars]
        certain = self.certainty == Certainty.CERTAIN
        return pairs if certain else [*pairs, ("mark_certainty", str(self.certainty))]

    def case(self) -> dict[str, Any]:
        """The reading as the dating service takes it: ``where`` is called ``at`` there."""
        values = {name: getattr(self, name) for name in COLUMNS if name != "where"}
        return {"at": DATING_CALLS.get(self.where, self.where), **values}

    def in_words(self, town: str = "") -> str:
        """For example "BW over a wave, 6 at the right"; what was not looked at is not mentioned."""
        parts = [mark_in_words(self.letters, self.symbol or "", self.frame or "", self.arrangement or "")]
        for side, chars in self.beside.items():
            shown = chars.strip()
            what = "something unread" if shown == "?" else shown or "nothing"
            parts.append(f"{what} {SIDES[side]}")
        if town:
            parts.append(f"{town} round the edge")
        return ", ".join(parts)


COLUMNS = tuple(field.name for field in fields(Reading))  # attributes of a reading = columns of its row


def of_rows(rows: Iterable[MarkReading]) -> list[Reading]:
    """The values of rows, in their order."""
    return [Reading.of_row(row) for row in rows]


def words_apart(letters: str, text: str) -> str:
    """The letters of a mark parted where the words of its text are: QUILLJAR, "Quill Jar in script":
    QUILL JAR; an `&` between them stands there too. What the text doesn't spell out stays together.
    """
    words: list[str] = []
    initials: set[str] = set()
    rest = letters
    for word in _TEXT_WORD.findall(text):
        plain = folded("".join(filter(str.isalnum, word)))
        if not plain:
            words += [word] if words and rest else []
        elif rest and folded(rest).startswith(plain):
            piece, rest = rest[: len(plain)], rest[len(plain) :]
            # initials stand together: T. C. W.
            together = len(piece) == 1 and words and words[-1] != "&" and words[-1] in initials
            words = [*words[:-1], words[-1] + piece] if together else [*words, piece]
            initials |= {words[-1]} if len(piece) == 1 else set()
        elif words:
            break
    return " ".join([*words, rest] if rest else words) if len(words) > 1 else letters


def _typed(query: QueryDict, key: str, longest: int | None = None) -> str:
    return str(query.get(key, "")).strip()[:longest].strip()


def _known(query: QueryDict, key: str, words: tuple[str, ...]) -> str | None:
    word = _typed(query, key)
    return word if word in words else None
