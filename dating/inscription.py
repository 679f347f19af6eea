"""Parse a whole inscription: a guess at how it divides into the mark's letters, its numbers and the rest.

Only a guess, shown to the person who read it, who corrects it: ``T. H. CO. 7 / MARROWBY``.
"""

import re
from dataclasses import dataclass

from .letters import plain
from .library import Reference

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
    words_of = {key: " ".join(numbers[spot] for spot in spots) or None for key, spots in places.items()}
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
        words_of["left"],
        words_of["right"],
        words_of["above"],
        words_of["below"],
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
