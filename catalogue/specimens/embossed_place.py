"""Embossed place names: a town as it was cut in a mould, read as name and region (state, province, county).

`PORTLAND ME.`, `Portland, Me.`, `ST. LOUIS MO` and `QUILL & CO. HALIFAX N.S.` are taken apart by the table of
abbreviations (`reference/place_abbreviations.csv`), without regard to case, accents, points and "Saint".
Letters that can't be read are written as on a find's other lettering: `B?STON`, `BOST[..]`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from catalogue.common.text import folded
from dating.facts import FactFolder

from .lost_letters import has_gap, reads_as
from .place_keys import place_key

__all__ = ["EmbossedPlace", "PlaceRegion", "place_key", "regions_named", "ways_to_read"]

PLACE_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")
# A bottler's name ends with one of these, and the town follows it.
_FIRM_ENDS = """
    company bro bros brothers son sons ltd limited inc incorporated works brewery bottlers bottler bottling
    brewing druggist druggists chemist chemists pharmacist pharmacists apothecary mfrs mfr mfg dairy creamery
    distillers distillery merchants grocers
"""
FIRM_ENDS = frozenset(_FIRM_ENDS.split())
# "Co" ends a firm's name after one of these; else it may be short for a county (CO. CORK).
_BEFORE_CO = "and medicine drug chemical glass mineral water soda milk wine tea spring"
BEFORE_CO = FIRM_ENDS | frozenset(_BEFORE_CO.split())
LONGEST_REGION_WORDS = 4
# A town's name has at most so many words, where nothing says where the firm's ends.
LONGEST_TAIL_WORDS = 3
# From so many letters on the beginning of a region's name is taken for it (PENNSYLV, MASSACH).
LEAST_OF_A_REGION = 5
# Longer text is no inscription of a place: it is kept, and not taken apart.
LONGEST_WORDS = 24
_WORD = re.compile(r"[^\s,]+")
_LINE_END = re.compile(r"\s*/+\s*|\n")
# "N." is as often New as North.
_NEW_TOO = re.compile(r"^n\.?\s+(?=\S)", re.IGNORECASE)


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
    """One way to read the letters: the town's name as typed, and the regions that its ending may mean.

    `sure` is false where nothing on the glass says where the firm's name ends and the town's begins.
    """

    name: str
    regions: tuple[PlaceRegion, ...] = ()
    sure: bool = True

    @property
    def key(self) -> str:
        return place_key(self.name)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the names that it may be short for: `N. HAVEN` is New Haven or North Haven."""
        new = place_key(_NEW_TOO.sub("new ", self.name))
        return tuple(dict.fromkeys(key for key in (self.key, new, *_short_names().get(self.key, ())) if key))

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


@lru_cache(maxsize=1)
def _short_names() -> dict[str, tuple[str, ...]]:
    """Towns that are cut short on glass (PHILADA): key of the short name, keys of the towns."""
    found: dict[str, tuple[str, ...]] = {}
    for cells in PLACE_FACTS.rows("town_short_names", ("spelling", "name")):
        short = place_key(cells.text("spelling", needed=True))
        found[short] = (*found.get(short, ()), place_key(cells.text("name", needed=True)))
    return found


def regions_named(text: str) -> tuple[PlaceRegion, ...]:
    """Every region that is written so, by its name or an abbreviation; empty for none."""
    return _by_spelling().get(_bare(text), ())


@lru_cache(maxsize=1024)
def _regions_read(text: str) -> tuple[PlaceRegion, ...]:
    """The same with letters lost (MA?S), or the name broken off late enough (PENNSYLV)."""
    if found := regions_named(text):
        return found
    if has_gap(text):
        fits = [regions for spelled, regions in _by_spelling().items() if reads_as(text, spelled)]
    else:
        begin = _bare(text)
        fits = [
            regions
            for spelled, regions in _by_spelling().items()
            if len(begin) >= LEAST_OF_A_REGION and spelled.startswith(begin)
        ]
    places = {(region.country, region.code): region for regions in fits for region in regions}
    return tuple(places.values()) if len(places) == 1 else ()


def ways_to_read(text: str) -> Iterator[EmbossedPlace]:
    """Every way to read the letters as a town, the likeliest first; none for blank text.

    The whole as one name comes first, unless a comma parts it (`New York`, `Port Washington` end like a
    state); then with the longest ending that is a region; then what follows a firm's name; at last, and
    unsure, the last words before a region.
    """
    lines = [line for line in _LINE_END.split(text) if line.strip(" .,")]
    if len(lines) > 1:
        yield from _of_lines(lines)
        text = " ".join(lines)
    parts = [" ".join(part.split()) for part in text.split(",")]
    words = _WORD.findall(text)
    if not any(parts) or len(words) > LONGEST_WORDS:
        return
    if len(parts) > 1 and (regions := _within(*parts[1:])):
        yield EmbossedPlace(parts[0], regions)
    yield from _with_endings(words)
    for tail in _after_firms(words):
        yield from _with_endings(tail)
    for ending, regions in _endings(words):
        before = words[:ending]
        for length in range(min(LONGEST_TAIL_WORDS, len(before) - 1), 0, -1):
            yield EmbossedPlace(" ".join(before[-length:]).strip(" .,"), regions, sure=False)
    for length in range(min(LONGEST_TAIL_WORDS, len(words) - 1), 0, -1):
        yield EmbossedPlace(" ".join(words[-length:]).strip(" .,"), sure=False)


def _of_lines(lines: list[str]) -> Iterator[EmbossedPlace]:
    """The ways where the inscription is written line by line (`SMITH / DRUGGIST / BOSTON MASS`): a line is a
    town, or a town and its region are two. The last line may be a town alone."""
    for number in range(len(lines) - 1, -1, -1):
        words = _WORD.findall(lines[number])
        if number and (regions := _regions_read(" ".join(words))):
            yield EmbossedPlace(lines[number - 1].strip(" .,"), regions)
        for before, regions in _endings(words):
            yield EmbossedPlace(" ".join(words[:before]).strip(" .,"), regions)
    yield EmbossedPlace(lines[-1].strip(" .,"))


def _within(*names: str) -> tuple[PlaceRegion, ...]:
    """The regions that words parted by commas name together: each next one holds those before."""
    found = _regions_read(names[0])
    for name in names[1:]:
        if wider := _regions_read(name):
            found = tuple(r for r in found if any(w.holds(r.country, r.code) for w in wider)) or found
        elif name:
            found = tuple(r for r in found if r.country == name.upper()) or found
    return found


def _after_firms(words: list[str]) -> Iterator[list[str]]:
    """What stands behind a word that ends a firm's name, for each of them, the last first."""
    for number in range(len(words) - 2, -1, -1):
        bare = _bare(words[number])
        before = words[number - 1].casefold() if number else ""
        firm = bare in FIRM_ENDS or bare in ("co", "cos") and (before == "&" or _bare(before) in BEFORE_CO)
        if firm and not regions_named(" ".join(words[number:])):
            yield words[number + 1 :]


def _with_endings(words: list[str]) -> Iterator[EmbossedPlace]:
    yield EmbossedPlace(" ".join(words).strip(" ."))
    for ending, regions in _endings(words):
        yield EmbossedPlace(" ".join(words[:ending]).strip(" .,"), regions)


def _endings(words: list[str]) -> Iterator[tuple[int, tuple[PlaceRegion, ...]]]:
    """How many words stand before an ending that is a region, the longest ending first.

    Where a country ends it (BOSTON MASS. U.S.A.), the state before that belongs to the ending.
    """
    for ending in range(min(LONGEST_REGION_WORDS, len(words) - 1), 0, -1):
        if not (regions := _regions_read(" ".join(words[-ending:]))):
            continue
        before = words[:-ending]
        if any(not region.code for region in regions):
            for longer, inner in _endings(before):
                if held := tuple(r for r in inner if any(o.holds(r.country, r.code) for o in regions)):
                    yield longer, held
        yield len(before), regions


def _bare(text: str) -> str:
    """Letters and figures alone: `N. S.`, `N.S.` and `ns` are one."""
    return "".join(filter(str.isalnum, folded(text)))
