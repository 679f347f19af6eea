"""Parse a whole inscription: the mark's letters and numbers in it, and the words that tell more than a name.

How it divides is only a guess, shown to the person who read it, who corrects it: ``T. H. CO. 7 / MARROWBY``.
Phrases (a law, a stated size, a country, another language) do not date by themselves: each may point to a
feature of the tables or to a region, which a person then says for certain or not. Their list is
``reference/phrases.csv``; in ``words``, ``#`` stands for a number, ``#####`` for one of exactly so many
digits, ``@@`` for so many letters.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from .edit_distance import plain
from .facts import Cells, Source, rows_of
from .library import Reference, reference
from .tables import DATING_BASES, PUBLISHED, Feature, sources_of

LONGEST_INSCRIPTION = 2000
_NUMBER = re.compile(r"[\d?]*\d[\d?]*")
_SHORT = {"CO", "LTD", "LD", "BROS", "MFG", "&", "+", "AND"}


@dataclass(frozen=True, slots=True)
class Inscription:
    """Letters as marks are listed, how they stood on the glass, numbers by place, and the lines left over."""

    letters: str
    as_read: str
    digits: str
    rest: str
    left: str | None = None
    right: str | None = None
    above: str | None = None
    below: str | None = None
    ampersand: bool = False


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Neighbouring words of one line that may be the mark."""

    line: int
    start: int
    end: int
    letters: str
    known: bool


def parse_inscription(text: str, ref: Reference | None = None) -> Inscription:
    """Divide an inscription (``/`` or a new line between lines); known marks of ``ref`` are preferred."""
    lines = [line.split() for line in re.split(r"[/\n]", text[:LONGEST_INSCRIPTION])]
    known = set(ref.listed.spelled) if ref else set()
    best = max(_stretches(lines, known), key=_worth, default=None)
    numbers = {(n, i): word for n, words in enumerate(lines) for i, word in enumerate(words) if _number(word)}
    if best is None:
        rest = " / ".join(" ".join(words) for words in lines if words)
        alone = [word for word in numbers.values() if rest == word]
        return Inscription("", "", " ".join(alone), "" if alone else rest)
    places = _places(lines, best, numbers)
    used = {spot for spots in places.values() for spot in spots}
    beside = {key: " ".join(numbers[spot] for spot in spots) or None for key, spots in places.items()}
    as_read = " ".join(lines[best.line][best.start : best.end])
    left_over = []
    for n, words in enumerate(lines):
        kept = [
            word
            for i, word in enumerate(words)
            if (n, i) not in used and not (n == best.line and best.start <= i < best.end)
        ]
        left_over.append(" ".join(kept))
    return Inscription(
        best.letters,
        as_read,
        " ".join(numbers[spot] for spot in sorted(used)),
        " / ".join(filter(None, left_over)),
        beside["left"],
        beside["right"],
        beside["above"],
        beside["below"],
        "&" in as_read or "+" in as_read,
    )


def _number(word: str) -> bool:
    return _NUMBER.fullmatch(word.strip(".,-")) is not None


def _initial(word: str) -> bool:
    bare = plain(word)
    return (
        word in _SHORT
        or bare in _SHORT
        or len(bare) == 1
        or ("." in word and len(bare) <= 4 and bare.isalpha())
    )


def _stretches(lines: list[list[str]], known: set[str]) -> list[_Stretch]:
    out = []
    for n, words in enumerate(lines):
        single = sum(not _number(word) for word in words) == 1
        for start in range(len(words)):
            for end in range(start + 1, min(len(words), start + 8) + 1):
                part = words[start:end]
                if any(_number(w) and plain(w) not in known for w in part) or part[0] in _SHORT:
                    continue
                letters = plain("".join(part))
                initials = all(_initial(w) or _unread(w) for w in part)
                lone = single and len(part) == 1 and len(letters) <= 4
                if letters and (letters in known or initials or lone):
                    out.append(_Stretch(n, start, end, _with_unread(part), letters in known))
    return out


def _unread(word: str) -> bool:
    return "?" in word or "[" in word


def _with_unread(part: list[str]) -> str:
    text = " ".join(part)
    return re.sub(r"[^\w?\[\].]|_|(?<!\.)\.(?!\.)", "", text).upper() if _unread(text) else plain(text)


def _worth(stretch: _Stretch) -> tuple[int, bool, int]:
    return (len(stretch.letters), stretch.known, -stretch.line)


def _places(
    lines: list[list[str]], mark: _Stretch, numbers: dict[tuple[int, int], str]
) -> dict[str, list[tuple[int, int]]]:
    """The numbers beside the mark, and those alone on the lines next to it."""
    out: dict[str, list[tuple[int, int]]] = {"left": [], "right": [], "above": [], "below": []}
    for n, i in numbers:
        if n == mark.line and not mark.start <= i < mark.end:
            out["left" if i < mark.start else "right"].append((n, i))
        elif abs(n - mark.line) == 1 and all(_number(word) for word in lines[n]):
            out["above" if n < mark.line else "below"].append((n, i))
    return out


PHRASE_COLUMNS = frozenset({"words", "says", "language", "region", "feature", "source", "basis"})


@dataclass(frozen=True, slots=True)
class Phrase:
    """A row: the words, what they say, their language, and the region and the feature that they point to."""

    words: str
    says: str
    language: str
    region: str
    feature: str
    source: str
    basis: str


def phrases_in(text: str) -> tuple[Phrase, ...]:
    """The phrases that stand in an inscription, longest first; one inside another is left out."""
    words = words_of(text)
    found: list[Phrase] = []
    taken: set[int] = set()
    for phrase in known_phrases():
        pattern = phrase.words.split()
        places = [range(n, n + len(pattern)) for n in range(len(words) - len(pattern) + 1)]
        here = next(
            (p for p in places if not taken & set(p) and _fits(pattern, words[p.start : p.stop])), None
        )
        if here is not None:
            taken |= set(here)
            found.append(phrase)
    return tuple(found)


SPELT_OUT = str.maketrans({"ß": "ss", "ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE"})


def words_of(text: str) -> list[str]:
    """Capitals and figures alone, without accents and points: as raised letters are compared."""
    bare = unicodedata.normalize("NFKD", text.translate(SPELT_OUT)).upper()
    return re.findall(r"[A-Z0-9]+", "".join(c for c in bare if not unicodedata.combining(c)))


def _fits(pattern: Sequence[str], words: Sequence[str]) -> bool:
    return all(_matches(want, word) for want, word in zip(pattern, words, strict=True))


def _matches(want: str, word: str) -> bool:
    if want == "#":
        return word.isdigit()
    if set(want) == {"#"}:
        return word.isdigit() and len(word) == len(want)
    if set(want) == {"@"}:
        return word.isalpha() and len(word) == len(want)
    return want == word


LEAST_WORD = 4  # letters of a town or word: fewer stand for anything


def reads_as(letters: str, ref: Reference) -> str:
    """What letters taken for a mark are in plain words ("a town" …); empty where they may be a mark.

    Only of what was read whole and is no mark of the tables: a town of their makers, a phrase, trade words.
    """
    together = plain(letters)
    if len(together) < LEAST_WORD or _unread(letters) or ".." in letters or together in ref.listed.spelled:
        return ""
    if together in ref.remember("towns", lambda: _towns(ref)):
        return "a town"
    words = words_of(letters)
    phrase = next(iter(phrases_in(letters)), None)
    if phrase and len(phrase.words.split()) == len(words):
        return f"a phrase of many bottles ({phrase.says})"
    kinds = [trade_words().get(word, "") for word in words]
    return "plain words of the trade" if all(kinds) and set(kinds) != {"small"} else ""


def _towns(ref: Reference) -> frozenset[str]:
    return frozenset(plain(mark.place.split(",")[0]) for mark in ref.marks.values()) - {""}


# Remembered while the program runs: the packaged tables do not change meanwhile.
@lru_cache(maxsize=1)
def trade_words() -> Mapping[str, str]:
    """Words that are cut on bottles of any maker, and what each is of."""
    kinds = ("glass", "trade", "contents", "law", "small")
    return {
        cells.text("word", needed=True): cells.choice("of", kinds, "")
        for cells in rows_of("trade_words", PUBLISHED.text("trade_words"))
    }


# Remembered while the program runs: the packaged tables do not change meanwhile.
@lru_cache(maxsize=1)
def known_phrases() -> tuple[Phrase, ...]:
    """The packaged list, the longest phrases first."""
    return load_phrases(PUBLISHED.text("phrases"), reference())


def load_phrases(text: str, ref: Reference) -> tuple[Phrase, ...]:
    """Phrases from the text of a table; raises ReferenceError for a row that may not be used."""
    rows = [read_phrase(cells, ref.features, ref.sources) for cells in rows_of("phrases", text)]
    return tuple(sorted(rows, key=lambda row: -len(row.words.split())))


def read_phrase(cells: Cells, features: Mapping[str, Feature], sources: Mapping[str, Source]) -> Phrase:
    """One row of phrases.csv."""
    cells.check_columns(PHRASE_COLUMNS, frozenset())
    feature = cells.text("feature")
    if feature and feature not in features:
        raise cells.refuse("feature", f"“{feature}” is not in features.csv")
    return Phrase(
        cells.text("words", needed=True),
        cells.text("says", needed=True),
        cells.text("language", needed=True),
        cells.text("region"),
        feature,
        sources_of(cells, sources),
        cells.choice("basis", DATING_BASES, "memory"),
    )
