"""Letters as they are read off worn glass: normalised, and with places unread, doubtful or lost."""

import re
import unicodedata
from functools import lru_cache

ANY = "?"
GAP = "*"
LONGEST_READING = 80

Token = frozenset[str]  # what may stand at one place; {"?"} unread, {"*"} an unknown number of letters
Pattern = tuple[Token, ...]

UNREAD_TOKEN = frozenset({ANY})
GAP_TOKEN = frozenset({GAP})
_PIECES = re.compile(r"\[([^\]]*)\]|\.{2,}|…|\*|[^\W_]|\?")


def plain(text: str) -> str:
    """Letters and digits alone, in capitals and without accents: ``T. & H. Co.`` → ``THCO``."""
    bare = unicodedata.normalize("NFKD", text.replace("ß", "ss")).upper()
    return "".join(c for c in bare if c.isalnum())


@lru_cache(maxsize=8192)
def pattern(text: str) -> Pattern:
    """The places of a reading: ``?`` unread, ``[HN]`` either, ``[H?]`` doubtful, ``..`` some lost."""
    places: list[Token] = []
    for piece in _PIECES.finditer(unicodedata.normalize("NFKD", text.replace("ß", "ss"))):
        whole, inside = piece.group(0), piece.group(1)
        if inside is not None:
            letters = frozenset(plain(inside)) | (UNREAD_TOKEN if ANY in inside else frozenset())
            whole_gap = not letters or set(inside) <= set(".… ")
            places.append(GAP_TOKEN if whole_gap else letters)
        elif whole == ANY:
            places.append(UNREAD_TOKEN)
        elif whole[0] in ".…*":
            places.append(GAP_TOKEN)
        else:
            places.extend(frozenset(c) for c in plain(whole))
    return tuple(places)


def at_random(reading: Pattern) -> float:
    """The chance that a mark taken at random reads so: 1/26 a letter read."""
    chance = 1.0
    for place in reading:
        if place != GAP_TOKEN:
            chance *= sum(1.0 if read == ANY else 1 / 26 for read in place) / len(place)
    return chance


def turned(reading: Pattern) -> tuple[Pattern, ...]:
    """The same reading seen upside down, and seen from behind, where that differs."""
    behind = tuple(reversed(reading))
    below = tuple(frozenset(_UPSIDE_DOWN.get(c, c) for c in place) for place in behind)
    return tuple(other for other in dict.fromkeys((below, behind)) if other != reading)


_UPSIDE_DOWN = {"M": "W", "W": "M", "6": "9", "9": "6", "A": "V", "V": "A", "L": "7", "7": "L"}
