"""Text as people type it: whether it can be stored, folded for searching, and made into an address."""

import re
import unicodedata

from django.db import models
from django.utils.text import slugify

SMALL_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


def sentence(words: str) -> str:
    """With a capital at the beginning, the rest as it is."""
    return words[:1].upper() + words[1:]


def is_storable(text: str) -> bool:
    """Whether a column of text takes it.

    Not a NUL, which PostgreSQL refuses to store and even to look for, nor half of a surrogate pair, which has
    no encoding.
    """
    return _UNSTORABLE.search(text) is None


def with_unstorable_shown(text: str) -> str:
    """The text with the sign for an unreadable character (U+FFFD) wherever `is_storable` objects."""
    return _UNSTORABLE.sub("\ufffd", text)


def counted(number: int) -> str:
    """A small number as a word, a larger one in figures."""
    return SMALL_NUMBERS[number] if number < len(SMALL_NUMBERS) else str(number)


def isolated(name: str) -> str:
    """A name for the middle of a sentence: from right to left it must not draw what stands beside it along.

    Between the isolates of Unicode's bidirectional algorithm (UAX 9) where a letter of it runs that way.
    """
    runs_left = any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in name)
    return f"\u2068{name}\u2069" if runs_left else name


def folded(text: str) -> str:
    """Lower case without accents, white space single: what search compares."""
    if text.isascii():
        return " ".join(text.lower().split())
    plain = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(plain.casefold().split())


def free_slug(model: type[models.Model], name: str, *, keep: int | None = None, longest: int = 80) -> str:
    """An address for `name` that no other row of `model` has, the bin included.

    A name without any letter that an address can hold (emoji, Arabic) keeps its letters where they are
    letters, and becomes "unnamed" where they are not. `keep` is the row that may keep its own.
    """
    base = slugify(name, allow_unicode=True)[:longest].strip("-") or "unnamed"
    taken = set(
        model._base_manager.filter(slug__startswith=base).exclude(pk=keep).values_list("slug", flat=True)
    )
    if base not in taken:
        return base
    n = 2
    while f"{base}-{n}" in taken:
        n += 1
    return f"{base}-{n}"
