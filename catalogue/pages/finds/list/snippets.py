"""A bit of text around what was searched for, with it marked."""

import unicodedata
from collections.abc import Sequence

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

AROUND = 36


def spots(text: str, words: Sequence[str]) -> list[tuple[int, int]]:
    """Where folded words occur in the text as typed: begin and end of each, first come first."""
    plain, at = _folded_with_places(text)
    found: list[tuple[int, int]] = []
    for word in words:
        begin = plain.find(word)
        if begin >= 0:
            found.append((at[begin], at[begin + len(word) - 1] + 1))
    return sorted(set(found))


def snippet(text: str, words: Sequence[str]) -> SafeString:
    """The text around the first word found, all found words marked; "" where there is none."""
    found = spots(text, words)
    if not found:
        return SafeString("")
    begin, end = max(0, found[0][0] - AROUND), min(len(text), found[0][1] + AROUND)
    parts, done = [], begin
    for first, last in found:
        if first >= done and last <= end:
            parts += [(text[done:first], text[first:last])]
            done = last
    body = format_html_join("", "{}<mark>{}</mark>", parts)
    return format_html(
        "{}{}{}{}", "… " if begin else "", body, text[done:end], " …" if end < len(text) else ""
    )


def _folded_with_places(text: str) -> tuple[str, list[int]]:
    """The text folded as search folds it, and for each folded character its place in the text."""
    plain: list[str] = []
    at: list[int] = []
    for i, sign in enumerate(text):
        for c in unicodedata.normalize("NFKD", sign):
            if not unicodedata.combining(c):
                for low in c.casefold():
                    plain.append(low)
                    at.append(i)
    return "".join(plain), at
