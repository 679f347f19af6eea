"""A reader of letters that knows no better than to compare with what each letter would look like."""

from functools import lru_cache

import cv2
import numpy as np

from catalogue.photos.imaging import Unrolled

from .places import column_of, row_of
from .rendered import Base, glyph

ALPHABET = "ABCDEFGHIJKLMNOPRSTUVWXYZ&2345678"


@lru_cache(maxsize=256)
def flat(character: str, tall: int) -> list[np.ndarray]:
    """The letter itself, as a relief shows it."""
    return [cv2.GaussianBlur(glyph(character, tall), (0, 0), 1.5)]


@lru_cache(maxsize=256)
def edges(character: str, tall: int) -> list[np.ndarray]:
    """Its outline, as a map of what varies shows it."""
    down, right = np.gradient(flat(character, tall)[0])
    return [np.hypot(right, down).astype(np.float32)]


@lru_cache(maxsize=256)
def one_sided(character: str, tall: int) -> list[np.ndarray]:
    """Light and dark flanks for a lamp from each of eight sides: the reader may take the best."""
    down, right = np.gradient(flat(character, tall)[0])
    around = np.radians(45 * np.arange(8))
    return [(np.cos(a) * right + np.sin(a) * down).astype(np.float32) for a in around]


def halved(values: np.ndarray) -> np.ndarray:
    """At half the size: as good to read and four times as quick."""
    return cv2.resize(values, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)


def read(strip: Unrolled, made: Base, looks, tall_px: int) -> str:
    """What stands at the places of the letters, each the best match of the alphabet within a few pixels."""
    picture = strip.picture.astype(np.float32)
    row = round(row_of(strip, made.share))
    answer = ""
    for turn in made.turns:
        column = round(column_of(strip, turn))
        half = tall_px + 3
        part = picture[max(0, row - half) : row + half + 1].take(
            range(column - half, column + half + 1), axis=1, mode="wrap"
        )
        part = halved(part)
        scores = {
            letter: max(
                float(cv2.matchTemplate(part, halved(look), cv2.TM_CCOEFF_NORMED).max())
                for look in looks(letter, tall_px)
            )
            for letter in ALPHABET
        }
        answer += max(scores, key=scores.__getitem__)
    return answer


def right_letters(answer: str, made: Base) -> float:
    """Share of letters read right."""
    return sum(a == b for a, b in zip(answer, made.word, strict=True)) / len(made.word)
