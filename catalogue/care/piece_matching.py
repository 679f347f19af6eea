"""Identification by likeness: base, height and mark tell pieces apart, for no paper tag survives acid. Pure.

Letters are compared by edit distance (Levenshtein) with `?` as a wildcard. The tolerances are ours: a rule
held by a gloved hand is good to 2 mm; where growth has come off, a piece measures less than it did.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from catalogue.common.quantities import LENGTH, Units, as_read

RULE_MM = 2.0
GROWTH_MM = 6.0
NO_MATCH = 6.0


@dataclass(frozen=True, slots=True)
class RecordedPiece:
    """A piece as it was recorded."""

    key: int
    base_mm: float | None = None
    height_mm: float | None = None
    letters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MeasuredPiece:
    """What is measured and read now; None or empty where it was not. `units`: how far off is said."""

    base_mm: float | None = None
    height_mm: float | None = None
    letters: str = ""
    units: Units = Units.METRIC


@dataclass(frozen=True, slots=True)
class Match:
    """How far off a piece is (0 agrees in all), and the words for it; `compared` is how much could be."""

    key: int
    off: float
    compared: int
    words: tuple[str, ...]


def rank_matches(seen: MeasuredPiece, known: Iterable[RecordedPiece]) -> list[Match]:
    """The likeliest first; a piece of which nothing comparable is known comes last."""
    matches = [_match(seen, piece) for piece in known]
    return sorted(matches, key=lambda m: (m.compared == 0, m.off / max(1, m.compared), m.key))


def _match(seen: MeasuredPiece, piece: RecordedPiece) -> Match:
    off, compared, words = 0.0, 0, []
    for name, now, then in (
        ("base", seen.base_mm, piece.base_mm),
        ("height", seen.height_mm, piece.height_mm),
    ):
        if now is None:
            continue
        if then is None:
            words.append(f"{name} not recorded")
            continue
        compared += 1
        less = then - now
        # Growth gone from it explains a smaller measure, not a larger one.
        off += min(NO_MATCH, max(0.0, -less, less - GROWTH_MM) / RULE_MM + 0.05 * abs(less))
        far = as_read(abs(less), LENGTH, seen.units)
        words.append(f"{name} agrees" if abs(less) <= RULE_MM else f"{name} {far} off")
    if seen.letters:
        if not piece.letters:
            words.append("no mark recorded")
        else:
            compared += 1
            best = min(letters_distance(seen.letters, letters) for letters in piece.letters)
            off += best * NO_MATCH
            words.append("mark agrees" if best == 0 else f"mark read as {' or '.join(piece.letters)}")
    return Match(piece.key, off, compared, tuple(words))


def letters_distance(a: str, b: str) -> float:
    """0 where two readings can be the same, up to 1. `?` is any letter; spaces and signs don't count."""
    one, two = (["".join(c for c in text.upper() if c.isalnum() or c == "?")] for text in (a, b))
    left, right = one[0], two[0]
    if not left or not right:
        return 1.0
    row = list(range(len(right) + 1))
    for i, x in enumerate(left, 1):
        before, row[0] = row[0], i
        for j, y in enumerate(right, 1):
            same = x == y or "?" in (x, y)
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (not same))
    return row[-1] / max(len(left), len(right))
