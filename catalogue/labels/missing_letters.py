"""Letters that no font here has, told before anything is printed: they would be boxes on the paper."""

import unicodedata
from collections.abc import Iterable

from catalogue.labels.fonts import has_japanese
from catalogue.labels.typesetting import letters_not_set

JAPANESE_HINT = "Japanese, and Chinese letters that Japanese has too, come with the extra “cjk” (README)."
MOST_LETTERS_NAMED = 12


def missing_letters_said(texts: Iterable[str]) -> str:
    """Which letters of these texts would print as boxes, in words; empty where all can be set."""
    missing = letters_not_set(texts)
    if not missing:
        return ""
    named = " ".join(missing[:MOST_LETTERS_NAMED])
    more = ", and others" if len(missing) > MOST_LETTERS_NAMED else ""
    words = f"No font here has these letters, which would print as boxes: {named}{more}."
    return f"{words} {JAPANESE_HINT}" if _wants_japanese(missing) else words


def _wants_japanese(letters: str) -> bool:
    """Whether one of these is a letter of Japanese or Chinese, and the font for them isn't installed."""
    eastern = any(unicodedata.name(char, "").startswith(("CJK", "HIRAGANA", "KATAKANA")) for char in letters)
    return eastern and not has_japanese()
