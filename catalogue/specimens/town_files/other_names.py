"""Which of a place's other names are worth being found by: those in Latin letters, as people write them."""

import re
import unicodedata
from collections.abc import Iterable

from catalogue.specimens.place_keys import place_key

MOST_OTHER_NAMES = 40
LEAST_LETTERS_OF_A_NAME = 3
LONGEST_AIRPORT_CODE = 4
# A small letter first is a transcription, an apostrophe within a word one of a sign that Latin has not.
_AS_WRITTEN = re.compile(r"^(?:['’]s[- ])?[^\W\d_a-z][\w .\-()/]*$")


def other_names(name: str, others: Iterable[str]) -> tuple[str, ...]:
    """Of a place's other names those that it is found by, each key once, without codes of airports."""
    seen = {place_key(name)}
    found = []
    for other in others:
        code = other.isupper() and len(other) <= LONGEST_AIRPORT_CODE
        if (
            code
            or len(other) < LEAST_LETTERS_OF_A_NAME
            or not _AS_WRITTEN.match(other)
            or not _is_latin(other)
        ):
            continue
        if (key := place_key(other)) not in seen:
            seen.add(key)
            found.append(other)
    return tuple(found[:MOST_OTHER_NAMES])


def _is_latin(name: str) -> bool:
    return all("LATIN" in unicodedata.name(letter, "") for letter in name if letter.isalpha())
