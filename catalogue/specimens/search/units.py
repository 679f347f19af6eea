"""What somebody types into the search, taken apart into units that must all be found. Pure.

A unit is a word, a phrase ("t & h", "wave-cola", "2026.14") or years ("1934", "1930s", "1884-1910").
"""

import re
from dataclasses import dataclass, replace

from catalogue.specimens.search.folding import AND_WORD, pieces_of

MOST_UNITS = 12
LONGEST_SEARCH = 200
# Up to so many signs a word is looked for at the beginning of words alone.
SHORT_TO_SEARCH = 2
# What is typed as a year.
FIRST_MEANT, LAST_MEANT = 1500, 2100
_NUMBER_IN_ADDRESS = re.compile(r"^https?://\S+?/(?:f|finds)/([0-9.]+[a-z]?)/?$", re.IGNORECASE)
_DECADE = re.compile(r"^(\d{3})0s$")


@dataclass(frozen=True, slots=True)
class Unit:
    """One thing that must be found: any of its folded texts, or years that a piece was made in.

    A text that begins with a space is found at the beginning of a word, another one anywhere in it; one that
    also ends with a space is a whole word.
    """

    written: str
    texts: tuple[str, ...]
    years: tuple[int, int] | None = None
    words: tuple[str, ...] = ()  # the folded words it is made of, to look for likely ones

    def is_in(self, folded: str) -> bool:
        """Whether a folded text holds it. Years are not asked."""
        return any(text in folded for text in self.texts)


@dataclass(frozen=True, slots=True)
class Typed:
    """A search taken apart."""

    text: str
    units: tuple[Unit, ...]
    number: str = ""  # a whole catalogue number, and nothing else
    cut: bool = False  # more was typed than is looked for

    @property
    def only_signs(self) -> bool:
        """Whether something was typed, and there is no letter or figure in it."""
        return bool(self.text) and not self.units


def read_typed(text: str) -> Typed:
    """Take a search apart; nothing that can be typed is an error."""
    text = " ".join(text.split())
    if in_address := _NUMBER_IN_ADDRESS.match(text):
        text = in_address[1]
    kept = text[:LONGEST_SEARCH]
    chunks = [(chunk, pieces) for chunk in kept.split() if (pieces := pieces_of(chunk))]
    units = _units(chunks)
    number = _number([piece for _, pieces in chunks for piece in pieces])
    units = list(dict.fromkeys(units))
    return Typed(kept, tuple(units[:MOST_UNITS]), number, len(text) > len(kept) or len(units) > MOST_UNITS)


def _number(pieces: list[str]) -> str:
    """A catalogue number where these pieces are one: year, dive, piece."""
    whole = len(pieces) == 3 and len(pieces[0]) == 4 and all(piece.isascii() for piece in pieces)
    return ".".join(pieces) if whole and re.fullmatch(r"\d{4} \d+ \d+[a-z]?", " ".join(pieces)) else ""


def _units(chunks: list[tuple[str, list[str]]]) -> list[Unit]:
    """Units in the order typed. "and" joins short words to a phrase, beside long ones it says nothing."""
    units: list[Unit] = []
    n = 0
    while n < len(chunks):
        written, pieces = chunks[n]
        if pieces == [AND_WORD] and len(chunks) > 1:
            n += 1
            continue
        while (
            n + 2 < len(chunks) and chunks[n + 1][1] == [AND_WORD] and _short(pieces[-1], chunks[n + 2][1][0])
        ):
            written = f"{written} {chunks[n + 1][0]} {chunks[n + 2][0]}"
            pieces = [*pieces, AND_WORD, *chunks[n + 2][1]]
            n += 2
        units.append(unit_of(written, pieces))
        n += 1
    return units


def _short(*words: str) -> bool:
    return any(len(word) <= SHORT_TO_SEARCH for word in words)


def unit_of(written: str, pieces: list[str]) -> Unit:
    """One unit from what was typed and its folded words."""
    if len(pieces) == 1:
        word = pieces[0]
        years = _years(word)
        return Unit(written, (word,) if years else _forms(word), years, (word,))
    texts = [f" {' '.join(pieces)}"]
    letters = [piece for piece in pieces if piece != AND_WORD]
    if not all(piece.isdigit() for piece in pieces):
        whole = "".join(letters)
        # "T&H" was also read as TH; so short a word only whole
        texts.append(f" {whole} " if _short(whole) else whole)
    ends = [_years(piece) for piece in pieces]
    span = (ends[0], ends[-1]) if len(pieces) == 2 else (None, None)
    years = (span[0][0], span[1][1]) if span[0] and span[1] and span[0] <= span[1] else None
    return Unit(written, tuple(texts), years, tuple(letters))


def instead(unit: Unit, word: str) -> Unit:
    """The unit with another word in place of its own."""
    return replace(unit_of(word, [word]), written=word)


def _years(word: str) -> tuple[int, int] | None:
    if (decade := _DECADE.match(word)) and FIRST_MEANT <= int(decade[1]) * 10 <= LAST_MEANT:
        return int(decade[1]) * 10, int(decade[1]) * 10 + 9
    if re.fullmatch(r"\d{4}", word, re.ASCII) and FIRST_MEANT <= int(word) <= LAST_MEANT:
        return int(word), int(word)
    return None


def _forms(word: str) -> tuple[str, ...]:
    """A word and its singular or plural, where one does not hold the other. English."""
    if len(word) <= SHORT_TO_SEARCH:
        return (f" {word}",)
    if len(word) >= 5 and word.endswith("ies"):
        return (word, f"{word[:-3]}y")
    if len(word) >= 5 and re.search(r"(ss|x|ch|sh|zz)es$", word):
        return (word[:-2],)
    if len(word) >= 4 and word.endswith("s") and word[-2] not in "suiaeo'" and word.isalpha():
        return (word[:-1],)
    if len(word) >= 4 and word.endswith("es") and word.isalpha():
        return (word[:-1],)
    if len(word) >= 4 and word.endswith("y") and word[-2] not in "aeiou" and word.isalpha():
        return (word, f"{word[:-1]}ies")
    return (word,)
