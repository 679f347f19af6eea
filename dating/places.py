"""Countries and contents, validated; and where a row of a table holds: its own, the wider region, or any.

A country is served by the rows of its wider region where it has none of its own: for a way of making that
is a variant of that very row, for makers' marks any row. Contents without rows of their own (in the group
that is asked about) are served by those of the wider kind. The codes are those of ISO 3166-1, the wider
regions the sub-regions of the United Nations' M49; Britain goes by UK as well.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .checks import CaseError, nearest, text
from .facts import Cells, Source


@dataclass(frozen=True, slots=True)
class Country:
    """One row of countries.csv."""

    code: str
    name: str
    wider: str


@dataclass(frozen=True, slots=True)
class Content:
    """One row of contents.csv: what a bottle held, and the wider kind (empty: none)."""

    word: str
    name: str
    within: str


REGIONS_ALIKE = {"GB": "UK"}  # two names of one place in the tables
CODES_ALIKE = {name: code for code, name in REGIONS_ALIKE.items()}
COUNTRY_COLUMNS = frozenset({*Country.__slots__, "source", "basis"})
CONTENT_COLUMNS = frozenset({*Content.__slots__, "source", "basis"})


def read_country(cells: Cells, sources: Mapping[str, Source]) -> Country:
    """One row of countries.csv."""
    cells.check_columns(COUNTRY_COLUMNS, frozenset())
    cells.grounds(sources)
    return Country(*(cells.text(field, needed=True) for field in Country.__slots__))


def read_content(cells: Cells, sources: Mapping[str, Source]) -> Content:
    """One row of contents.csv."""
    cells.check_columns(CONTENT_COLUMNS, frozenset())
    cells.grounds(sources)
    return Content(cells.text("word", needed=True), cells.text("name", needed=True), cells.text("within"))


def alike(region: str) -> str:
    """One name for a region that has two in the tables."""
    return REGIONS_ALIKE.get(region, region)


def region_given(value: object, at: str, countries: Mapping[str, Country]) -> str | None:
    """A country by its code (in any letter case) or name, or any; raises CaseError."""
    word = (text(value, at) or "").strip()
    if not word or word.casefold() == "any":
        return word.casefold() or None
    if word.upper() in {*countries, *REGIONS_ALIKE.values()}:
        return word.upper()
    names = {country.name.casefold(): country.code for country in countries.values()}
    if word.casefold() not in names:
        listed = (country.name for country in countries.values())
        raise CaseError(
            f"“{word[:40]}” is not known: a country by its two letters or name" + nearest(word, listed), at
        )
    return names[word.casefold()]


MARKS = "marks"  # the rows of makers' marks, beside the groups of features


class Coverage:
    """Which rows serve a bottle; ``rows`` are the group, the region and the contents of every row."""

    def __init__(
        self,
        countries: Mapping[str, Country],
        contents: Mapping[str, Content],
        rows: Iterable[tuple[str, str, str]],
    ) -> None:
        self.countries = countries
        self.contents = contents
        self._regions: dict[str, set[str]] = {MARKS: set()}
        self._contents: dict[str, set[str]] = {}
        for group, region, held in rows:
            self._regions.setdefault(group, set()).add(alike(region))
            self._contents.setdefault(group, set()).add(held)

    def wider(self, region: str) -> str:
        """The wider region of a country; empty where it is not in the list."""
        country = self.countries.get(CODES_ALIKE.get(region, region))
        return country.wider if country else ""

    def neighbours(self, region: str) -> tuple[str, ...]:
        """The countries of the wider region of a country, itself among them; none for any."""
        wider = self.wider(region)
        return tuple(alike(code) for code, country in self.countries.items() if wider == country.wider)

    def within(self, held: str) -> str:
        """The wider kind of what a bottle held; empty where there is none."""
        found = self.contents.get(held)
        return found.within if found else ""

    def region_fits(self, group: str, row: str, region: str | None) -> bool:
        """Whether a row of the group for a region may be used as it stands for a bottle of another."""
        if row in ("", "any") or region in (None, "", "any") or alike(row) == alike(region or ""):
            return True
        if group == MARKS and alike(region or "") in self._regions[MARKS]:
            return False
        return self.wider(row) == self.wider(region or "") != ""

    def contents_fit(self, group: str, row: str, held: str | None) -> bool:
        """The same for what the row's bottles and this one held."""
        if row in ("", "any") or held in (None, "", "any") or row == held:
            return True
        return held not in self._contents.get(group, ()) and row == self.within(held or "")

    def mark_fits(self, country: str, region: str | None) -> bool:
        """The same for the country of a maker's mark; one that is in no list may be any."""
        if CODES_ALIKE.get(country, country) not in self.countries:
            return True
        return self.region_fits(MARKS, country, region)
