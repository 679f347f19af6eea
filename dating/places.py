"""Where a row of a table holds: countries and contents, validated; its own, the wider region, or any.

A country is served by the rows of its wider region where it has none of its own: for a way of making that
is a variant of that very row, for makers' marks any row. Contents without rows of their own (in the group
that is asked about) are served by those of the wider kind. The codes are those of ISO 3166-1, the wider
regions the sub-regions of the United Nations' M49; Britain goes by UK as well.

Regional variants: a row that is a variant of an older one is no answer of its own: whoever ticks the older
row gets the variant's years where the bottle's region (and contents) are those of the variant. A finer kind
of a row, one that tells more than it, is an answer of its own, but where it belongs to one country only once
the region is known. Of a row used outside its region or contents only the world-wide limits keep their
weight, or cut at all.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .checks import CaseError, ReferenceError, nearest, text
from .constants import ELSEWHERE
from .facts import Cells, Source
from .tables import Feature
from .years import Axis, Spans, meet, shape_of_feature, span


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

    def misfits(self, row: Feature, region: str | None, held: str | None) -> list[str]:
        """What about a bottle lies outside a row: its region, what it held."""
        out = []
        if not self.region_fits(row.group, row.region, region):
            out.append(f"the row is for {row.region}")
        if not self.contents_fit(row.group, row.applies_to, held):
            out.append(f"the row is for {row.applies_to}")
        return out

    def mark_fits(self, country: str, region: str | None) -> bool:
        """The same for the country of a maker's mark; one that is in no list may be any."""
        if CODES_ALIKE.get(country, country) not in self.countries:
            return True
        return self.region_fits(MARKS, country, region)


NOWHERE = (None, "", "any")


def check_variants(features: Mapping[str, Feature]) -> None:
    """Raises ReferenceError for a variant or kind that cannot be resolved to one row."""
    taken: dict[tuple[str, str, str], str] = {}
    for row in features.values():
        for field in ("variant_of", "kind_of"):
            name = getattr(row, field)
            if name and name not in features:
                raise _refuse(row, field, f"there is no feature “{name}”")
            if name and (features[name].variant_of or features[name].kind_of):
                raise _refuse(row, field, f"“{name}” is itself a variant or a kind")
        if row.variant_of:
            if row.kind_of:
                raise _refuse(row, "kind_of", "a row is a variant or a kind, not both")
            _check_variant(row, features[row.variant_of])
            key = (row.variant_of, alike(row.region), row.applies_to)
            if key in taken:
                raise _refuse(row, "variant_of", f"“{taken[key]}” is its variant there already")
            taken[key] = row.id


def _check_variant(row: Feature, older: Feature) -> None:
    if row.group != older.group:
        raise _refuse(row, "variant_of", f"“{older.id}” answers another question ({older.group})")
    if alike(row.region) == alike(older.region) and row.applies_to == older.applies_to:
        raise _refuse(row, "variant_of", f"“{older.id}” is for the same region and contents")
    begins, ends = older.world_wide in ("start", "both"), older.world_wide in ("end", "both")
    if begins and (row.earliest is None or row.earliest < (older.earliest or 0)):
        raise _refuse(row, "earliest", f"“{older.id}” begins later, all over the world")
    if ends and (row.latest is None or row.latest > (older.latest or 0)):
        raise _refuse(row, "latest", f"“{older.id}” ends earlier, all over the world")


def _refuse(row: Feature, field: str, message: str) -> ReferenceError:
    return ReferenceError("features.csv", row.id, field, message)


class Variants:
    """Which row is taken for what was ticked, and which rows are answers to offer."""

    def __init__(self, features: Mapping[str, Feature], places: Coverage) -> None:
        self._features = features
        self._places = places
        self._of: dict[str, tuple[Feature, ...]] = {}
        for row in features.values():
            if row.variant_of:
                self._of[row.variant_of] = (*self._of.get(row.variant_of, ()), row)

    def of(self, name: str) -> tuple[Feature, ...]:
        """The variants of a row."""
        return self._of.get(name, ())

    def taken(self, name: str, region: str | None, held: str | None) -> Feature:
        """The row whose years hold for what was ticked: the variant that fits best, or the row itself."""
        fitting = [row for row in self.of(name) if self._serves(row, region, held)]
        if not fitting:
            return self._features[name]
        return max(fitting, key=lambda row: (row.region not in NOWHERE, row.applies_to not in NOWHERE))

    def _serves(self, row: Feature, region: str | None, held: str | None) -> bool:
        said = row.applies_to in NOWHERE or held not in NOWHERE
        return self._here(row, region) and said and self._places.contents_fit(row.group, row.applies_to, held)

    @staticmethod
    def _here(row: Feature, region: str | None) -> bool:
        return row.region in NOWHERE or (region not in NOWHERE and alike(row.region) == alike(region or ""))

    def offered(self, row: Feature, region: str | None, held: str | None) -> bool:
        """Whether a row is an answer for such a bottle; None, or any, where that is not known."""
        if row.variant_of or (row.kind_of and not self._here(row, region)):
            return False
        years = self.taken(row.id, region, held)
        return self._places.region_fits(row.group, years.region, region) and self._places.contents_fit(
            row.group, years.applies_to, held
        )

    def regions(self, row: Feature) -> tuple[str, ...]:
        """The countries for which a row is an answer: its own, its neighbours, those of its variants."""
        if row.kind_of or row.region in NOWHERE:
            return (alike(row.region),)
        own = (alike(row.region), *self._places.neighbours(row.region))
        return tuple(dict.fromkeys([*own, *(alike(each.region) for each in self.of(row.id))]))


def world_wide(feature: Feature) -> Spans:
    """The years that a row leaves outside its region: only its world-wide limits hold there."""
    shape = shape_of_feature(feature)
    return span(
        shape.earliest if feature.world_wide in ("start", "both") else None,
        shape.latest if feature.world_wide in ("end", "both") else None,
    )


def half_outside(heights: tuple[float, ...], within: Spans, axis: Axis) -> tuple[float, ...]:
    """f·(w·t + (1−w)·t̄): f the limits, at full weight, t the row, t̄ its mean within f."""
    firm = [1.0 if meet(((year, year),), within) else 0.0 for year in axis.years]
    room = axis.mean(firm)
    rest = (1 - ELSEWHERE) * axis.mean(heights) / room if room else 0.0
    return tuple(f * (ELSEWHERE * t + rest) for f, t in zip(firm, heights, strict=True))
