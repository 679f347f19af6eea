"""Embossed place names: a town as it was cut in a mould, read as name and region (state, province, county).

`PORTLAND ME.`, `Portland, Me.`, `ST. LOUIS MO` and `QUILL & CO. HALIFAX N.S.` are taken apart by the table of
abbreviations (`reference/place_abbreviations.csv`), without regard to case, accents, points and "Saint".
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from catalogue.common.text import folded
from dating.facts import FactFolder

PLACE_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")
# Words that are cut short before or within a town's name: compared as if they were short everywhere.
SHORT_FORMS = {"saint": "st", "sainte": "ste", "mount": "mt", "fort": "ft"}
# A bottler's name ends with one of these, and the town follows it.
FIRM_ENDS = {"co", "company", "bro", "bros", "brothers", "son", "sons", "ltd", "limited", "inc", "works"}
LONGEST_REGION_WORDS = 4
_WORD = re.compile(r"[^\s,]+")


@dataclass(frozen=True, slots=True)
class PlaceRegion:
    """A country and, where the gazetteer has it, the code of its state or province ("" for all of it)."""

    country: str
    code: str
    name: str

    def holds(self, country: str, code: str) -> bool:
        """Whether a place with that country and that region lies in it, as far as both are known."""
        return self.country == country and (not self.code or not code or self.code == code)


@dataclass(frozen=True, slots=True)
class EmbossedPlace:
    """One way to read the letters: the town's name as typed, and the regions that its ending may mean."""

    name: str
    regions: tuple[PlaceRegion, ...] = ()

    @property
    def key(self) -> str:
        return place_key(self.name)

    def fits(self, country: str, code: str) -> bool:
        """Whether a town of that country and region may be meant."""
        return not self.regions or any(region.holds(country, code) for region in self.regions)


@lru_cache(maxsize=1)
def _by_spelling() -> dict[str, tuple[PlaceRegion, ...]]:
    found: dict[str, tuple[PlaceRegion, ...]] = {}
    for cells in PLACE_FACTS.rows("place_abbreviations", ("country", "region", "name", "spellings")):
        region = PlaceRegion(
            cells.text("country", needed=True), cells.text("region"), cells.text("name", needed=True)
        )
        # Postal codes are written by hand, if not moulded.
        for spelling in (region.name, region.code, *cells.several("spellings")):
            if spelling and region not in found.get(_bare(spelling), ()):
                found[_bare(spelling)] = (*found.get(_bare(spelling), ()), region)
    return found


def regions_named(text: str) -> tuple[PlaceRegion, ...]:
    """Every region that is written so, by its name or an abbreviation; empty for none."""
    return _by_spelling().get(_bare(text), ())


def place_key(name: str) -> str:
    """What two spellings of one town have in common: lower case without accents, points and hyphens."""
    words = re.sub(r"[.'’`]", "", folded(name)).replace("-", " ").split()
    return " ".join(SHORT_FORMS.get(word, word) for word in words)


def ways_to_read(text: str) -> Iterator[EmbossedPlace]:
    """Every way to read the letters as a town, the likeliest first; none for blank text.

    The whole as one name comes first, unless a comma parts it (`New York`, `Port Washington` end like a
    state); then with the longest ending that is a region; then what follows a firm's name.
    """
    before, comma, after = (part.strip() for part in " ".join(text.split()).partition(","))
    if not before and not after:
        return
    if comma and (regions := regions_named(after.split(",")[0])):
        country = after.split(",")[1].strip().upper() if "," in after else ""
        yield EmbossedPlace(before, tuple(r for r in regions if country in ("", r.country)) or regions)
    words = _WORD.findall(text)
    yield from _with_endings(words)
    for number, word in enumerate(words[:-1]):
        if _bare(word) in FIRM_ENDS:
            yield from _with_endings(words[number + 1 :])


def _with_endings(words: list[str]) -> Iterator[EmbossedPlace]:
    yield EmbossedPlace(" ".join(words).strip(" ."))
    for ending in range(min(LONGEST_REGION_WORDS, len(words) - 1), 0, -1):
        if regions := regions_named(" ".join(words[-ending:])):
            yield EmbossedPlace(" ".join(words[:-ending]).strip(" .,"), regions)


def _bare(text: str) -> str:
    """Letters and figures alone: `N. S.`, `N.S.` and `ns` are one."""
    return "".join(filter(str.isalnum, folded(text)))
