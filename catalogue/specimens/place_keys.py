"""Keys of place names: what the spellings of one town have in common, however it was cut or typed."""

import re

from catalogue.common.text import folded

# Words that are cut short before or within a town's name: compared as if they were short everywhere.
SHORT_FORMS = {
    "saint": "st",
    "sainte": "ste",
    "mount": "mt",
    "fort": "ft",
    "port": "pt",
    "point": "pt",
    "north": "n",
    "south": "s",
    "east": "e",
    "west": "w",
    "great": "gt",
    "harbour": "hbr",
    "harbor": "hbr",
    "harb": "hbr",
    "springs": "spgs",
    "spring": "spgs",
    "centre": "ctr",
    "center": "ctr",
    "junction": "jct",
    "heights": "hts",
    "upon": "on",
}
# Endings that were written in two ways, on glass and in lists.
_ENDINGS = ((re.compile(r"burgh\b"), "burg"), (re.compile(r"borough\b"), "boro"))
_SILENT = re.compile(r"[.'’`‘ʼ´]")
_BREAKS = re.compile(r"[^\w]+|_")
# Letters that no decomposition makes plain, and umlauts as they were written without their dots.
_PLAIN_LETTERS = str.maketrans(
    {"ß": "ss", "æ": "ae", "Æ": "ae", "œ": "oe", "Œ": "oe", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l", "đ": "d"}
)
_WRITTEN_OUT = str.maketrans(
    {
        "ä": "ae",
        "Ä": "Ae",
        "ö": "oe",
        "Ö": "Oe",
        "ü": "ue",
        "Ü": "Ue",
        "ø": "oe",
        "Ø": "Oe",
        "å": "aa",
        "Å": "Aa",
    }
)


def place_key(name: str) -> str:
    """What two spellings of one town have in common: lower case without accents, points and hyphens."""
    words = _BREAKS.sub(" ", _SILENT.sub("", folded(name.translate(_PLAIN_LETTERS)))).split()
    key = " ".join(SHORT_FORMS.get(word, word) for word in words)
    for ending, written in _ENDINGS:
        key = ending.sub(written, key)
    return key


def place_keys(name: str) -> tuple[str, ...]:
    """Every key that a listed name is found by: umlauts without their dots, and written out (KOELN)."""
    return tuple(
        dict.fromkeys(key for key in (place_key(name), place_key(name.translate(_WRITTEN_OUT))) if key)
    )
