"""Letters lost on glass, as people write them in a place's name: `B?STON`, `BOST[..]`, `BOST…`, `[HN]ULL`.

One `?` or `_` stands for one letter, points in brackets or in a row for any number, brackets with letters for
one of them.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, product, zip_longest

from .place_keys import place_key

# Of a name with fewer letters read than these nothing is looked up: half of all towns would fit.
LEAST_READ = 3
KEY_LETTERS = "abcdefghijklmnopqrstuvwxyz "
MOST_TRIED = 2
ONE, ANY_NUMBER = "?", "*"
_GAP = re.compile(r"\[[^\]]*\]|\.{2,}|…|\*+|[?_]|-{2,}")


@dataclass(frozen=True, slots=True)
class LostName:
    """A name with gaps as a GLOB pattern of keys. `closed`: how many letters are lost is known."""

    pattern: str
    read: int
    lost: int
    closed: bool

    @property
    def keys(self) -> list[str]:
        """Every key that fits, where so few letters are lost that trying all is quickest; else none."""
        begins_lost = self.pattern[:2].count(ONE)
        if not (self.closed and begins_lost and self.lost <= MOST_TRIED) or "[" in self.pattern:
            return []
        parts = self.pattern.split(ONE)
        tried = product(KEY_LETTERS, repeat=self.lost)
        return ["".join(chain(*zip_longest(parts, letters, fillvalue=""))).strip() for letters in tried]


def has_gap(text: str) -> bool:
    """Whether some of it could not be read."""
    return bool(_GAP.search(text))


def lost_name(name: str) -> LostName | None:
    """The pattern that keys of a name with gaps fit; None where too little of it was read."""
    if not has_gap(name):
        return None
    # Keyed as a whole, so that ST. and MT. are known; the gaps as letters that no name has.
    plain = _GAP.sub(lambda found: _letter_for(found.group()), name)
    key = place_key(plain)
    pattern = "".join(_SIGNS.get(letter, letter) for letter in key)
    for found in _GAP.finditer(name):
        inside = _inside(found.group())
        if inside:
            pattern = pattern.replace(_EITHER, f"[{inside}]", 1)
    read = sum(letter.isalnum() and letter not in _SIGNS and letter != _EITHER for letter in key)
    if read < LEAST_READ:
        return None
    return LostName(
        pattern, read, sum(letter in _SIGNS or letter == _EITHER for letter in key), ANY_NUMBER not in pattern
    )


# Letters of an alphabet that no town of ours is written in stand for the gaps while a name is keyed.
_ONE, _MANY, _EITHER = "ᚠ", "ᚢ", "ᚦ"
_SIGNS = {_ONE: ONE, _MANY: ANY_NUMBER}


def _letter_for(gap: str) -> str:
    if gap in ("?", "_"):
        return _ONE
    if _inside(gap):
        return _EITHER
    only = gap.strip("[]")
    return _ONE * len(only) if only and set(only) == {"?"} else _MANY


def _inside(gap: str) -> str:
    """The letters of which one stands there; "" for a gap without any."""
    return "".join(filter(str.isalnum, gap.casefold())) if gap.startswith("[") and "?" not in gap else ""


@lru_cache(maxsize=2048)
def reads_as(written: str, spelled: str) -> bool:
    """Whether a word with gaps (`MA?S.`) may be this spelling (letters and figures alone)."""
    signs = []
    last = 0
    for found in _GAP.finditer(written):
        signs += [re.escape(_bare(written[last : found.start()])), _sign(found.group())]
        last = found.end()
    signs.append(re.escape(_bare(written[last:])))
    read = sum(map(str.isalnum, written))
    return read >= 2 and re.fullmatch("".join(signs), spelled) is not None


def _sign(gap: str) -> str:
    letter = _letter_for(gap)
    return {_EITHER: f"[{_inside(gap)}]", _MANY: ".*"}.get(letter, "." * len(letter))


def _bare(text: str) -> str:
    return "".join(filter(str.isalnum, text.casefold()))
