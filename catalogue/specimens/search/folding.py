"""Text folded for the search: case, accents, dashes, dots and `&` make no difference. Pure.

Letters that Unicode doesn't take apart (ø, æ) are listed here; the rest follows from its normalisation form
KD and case folding.
"""

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

AND_WORD = "and"
# Not taken apart by Unicode's decompositions, and typed without the stroke all the same.
_STROKES = {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
_PIECE = re.compile(r"&|[^\W_]+")
_APOSTROPHES = frozenset("'’‘ʼ`´")

Placed = tuple[str, int]
"""A folded letter, and the place in the text that it comes from."""


def fold(text: str) -> str:
    """The text for the index: its words, a space around each; below, those that signs part, as one word.

    "Wave-Cola & Co." becomes " wave cola and co " and " wavecola " in a second line.
    """
    if not text:
        return ""
    words: list[str] = []
    joined: list[str] = []
    for chunk in text.split():
        pieces, whole = _taken_apart(chunk)
        words += pieces
        if whole:
            joined.append(whole)
    lines = [f" {' '.join(line)} " for line in (words, joined) if line]
    return "\n".join(lines)


def pieces_of(chunk: str) -> list[str]:
    """The folded words of what was typed without a space: "2026-14" has two, "&" is "and"."""
    return list(_taken_apart(chunk)[0])


@lru_cache(maxsize=30_000)  # a large catalogue has about so many words
def _taken_apart(chunk: str) -> tuple[tuple[str, ...], str]:
    """The words of a chunk, and all of them as one; quicker than letter by letter."""
    plain = "".join(_plain(sign) for sign in chunk if sign not in _APOSTROPHES)
    pieces = tuple(AND_WORD if piece == "&" else piece for piece in _PIECE.findall(plain))
    letters = _joined(pieces)
    return pieces, "".join(letters)


def _joined(pieces: tuple[str, ...]) -> tuple[str, ...]:
    """Those that make one word together ("T&H": t, h); none where there is one, or figures alone."""
    letters = tuple(piece for piece in pieces if piece != AND_WORD)
    return letters if len(letters) > 1 and not all(piece.isdigit() for piece in letters) else ()


def fold_with_places(text: str) -> list[Placed]:
    """The same letter by letter, each with its place in the text: what is found can be marked there."""
    lines: list[list[Placed]] = [[], []]
    for chunk in _chunks(text):
        pieces = _pieces(chunk)
        for piece in pieces:
            lines[0] += [(" ", piece[0][1]), *piece]
        letters = [piece for piece in pieces if _word(piece) != AND_WORD]
        if _joined(tuple(_word(piece) for piece in pieces)):
            lines[1] += [(" ", letters[0][0][1]), *(letter for piece in letters for letter in piece)]
    for line in lines:
        if line:
            line.append((" ", line[-1][1]))
    if lines[0] and lines[1]:
        lines[1].insert(0, ("\n", lines[1][0][1]))
    return lines[0] + lines[1]


def _word(piece: list[Placed]) -> str:
    return "".join(letter for letter, _ in piece)


def _chunks(text: str) -> Iterator[list[Placed]]:
    """Runs between white space."""
    chunk: list[Placed] = []
    for at, letter in enumerate(text):
        if letter.isspace():
            if chunk:
                yield chunk
            chunk = []
        else:
            chunk.append((letter, at))
    if chunk:
        yield chunk


def _pieces(chunk: list[Placed]) -> list[list[Placed]]:
    """The words of a chunk: letters and digits between signs; `&` is a word of its own."""
    pieces: list[list[Placed]] = [[]]
    for sign, at in chunk:
        if sign in _APOSTROPHES:
            continue
        for letter in _plain(sign):
            if letter == "&":
                pieces += [[(each, at) for each in AND_WORD], []]
            elif letter.isalnum():
                pieces[-1].append((letter, at))
            elif pieces[-1]:
                pieces.append([])
    return [piece for piece in pieces if piece]


def _plain(sign: str) -> str:
    """One sign without its accent, in lower case."""
    if sign.isascii():
        return sign.lower()
    apart = unicodedata.normalize("NFKD", sign)
    plain = "".join(c for c in apart if not unicodedata.combining(c)).casefold()
    return "".join(_STROKES.get(c, c) for c in plain)
