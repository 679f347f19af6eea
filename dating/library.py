"""The tables together: looked up by id, joined with a person's own rows, and prepared for speed."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import TypeVar

from .checks import ReferenceError
from .codes import DateCode, read_code
from .constants import ASSUMPTIONS, RULES
from .copies import Reproduction, read_copy
from .facts import Cells, Source, keyed, read_source, rows_of, version_of
from .markindex import MarkList
from .places import (
    MARKS,
    REGIONS_ALIKE,
    Content,
    Country,
    Coverage,
    Variants,
    alike,
    check_variants,
    read_content,
    read_country,
)
from .tables import (
    PUBLISHED,
    Exclusion,
    FamilyMember,
    Feature,
    Mark,
    read_commonness,
    read_exclusion,
    read_families,
    read_feature,
    read_mark,
)
from .years import Trapezoid, shape_of_mark

T = TypeVar("T")
REMEMBERED = 12_000
OwnRows = Iterable[Mapping[str, object]]


class Reference:
    """Everything published that dating rests on; nothing in it changes once made."""

    def __init__(
        self,
        sources: Mapping[str, Source],
        marks: Mapping[str, Mark],
        date_codes: Mapping[str, DateCode],
        features: Mapping[str, Feature],
        exclusions: Mapping[str, Exclusion],
        families: Mapping[str, FamilyMember],
        countries: Mapping[str, Country],
        held: Mapping[str, Content],
        copies: Mapping[str, Reproduction],
        version: str,
    ) -> None:
        self.sources = MappingProxyType(dict(sources))
        self.marks = MappingProxyType(dict(marks))
        self.date_codes = MappingProxyType(dict(date_codes))
        self.copies = MappingProxyType(dict(copies))
        # what gives a copy away can be seen like any other feature
        features = {**features, **{copy.id: copy.feature for copy in copies.values()}}
        self.features = MappingProxyType(features)
        self.exclusions = MappingProxyType(dict(exclusions))
        self.families = MappingProxyType(dict(families))
        self.version = version
        self.copied_marks = frozenset(n for copy in copies.values() for n in copy.applies_to if n in marks)
        groups: dict[str, tuple[Feature, ...]] = {}
        for feature in features.values():
            groups[feature.group] = (*groups.get(feature.group, ()), feature)
        self.groups = MappingProxyType(groups)
        self.frames = _values(m.frame for m in marks.values())
        self.symbols = _values(m.symbol for m in marks.values())
        self.arrangements = _values(m.arrangement for m in marks.values())
        self.countries = MappingProxyType(dict(countries))
        self.held = MappingProxyType(dict(held))
        self.contents = tuple(held)
        self.regions = tuple(sorted({*countries, *REGIONS_ALIKE.values()}))
        # a variant stands in for a row that is there for all: it makes no country the owner of its group
        rows = [(row.group, row.region, row.applies_to) for row in features.values() if not row.variant_of]
        rows += [(MARKS, mark.country, "any") for mark in marks.values()]
        self.places = Coverage(countries, held, rows)
        self.variants = Variants(features, self.places)
        self.excluded = _excluded(exclusions.values(), self.variants)
        self.shapes: dict[str, Trapezoid] = {mark.id: shape_of_mark(mark) for mark in marks.values()}
        self._countries = Counter(alike(mark.country) for mark in marks.values())
        self.frame_counts = Counter(m.frame for m in marks.values())
        self.symbol_counts = Counter(m.symbol for m in marks.values())
        self.arrangement_counts = Counter(m.arrangement for m in marks.values())
        self.codes_of: dict[str, tuple[DateCode, ...]] = {}
        for code in date_codes.values():
            for mark_id in code.mark_ids:
                self.codes_of[mark_id] = (*self.codes_of.get(mark_id, ()), code)
        self.listed = MarkList(marks.values(), self.codes_of)
        self.year_coded = frozenset(
            name for name, codes in self.codes_of.items() if any(code.kind != "other" for code in codes)
        )
        self.class_codes = tuple(c for c in date_codes.values() if not c.mark_ids)
        self.law_codes = tuple(c for c in date_codes.values() if c.only_with)
        self.letterless = sum(not m.letters for m in marks.values())
        self._memory: dict[object, object] = {}
        self._older: dict[object, object] = {}

    def remember(self, key: object, make: Callable[[], T]) -> T:
        """A result that later calls share, kept by all that it depends on besides these tables.

        Nothing invalidates it: the tables never change, and a person's own rows make another Reference
        (`with_own`), which remembers for itself and begins with nothing. When there are many, those not asked
        for since the last such time are forgotten.
        """
        found = self._memory.get(key)
        if found is None:
            found = self._older.pop(key, None)
            if found is None:
                found = make()
            if len(self._memory) >= REMEMBERED:
                self._older, self._memory = self._memory, {}
            self._memory[key] = found
        return found  # type: ignore[return-value]  # a key always leads to a result of its one `make`

    def forget(self) -> None:
        """Drop the remembered results, to measure a fresh start."""
        self._memory.clear()
        self._older.clear()

    def with_own(self, marks: OwnRows = (), date_codes: OwnRows = ()) -> "Reference":
        """A new reference with a person's own rows joined; raises ReferenceError as the tables do."""
        own_marks, own_codes = list(marks), list(date_codes)
        all_marks = keyed(_own("own marks", own_marks), lambda c: read_mark(c, None), "id", dict(self.marks))
        all_codes = keyed(
            _own("own date codes", own_codes),
            lambda c: _within_marks(read_code(c, None, all_marks), all_marks),
            "id",
            dict(self.date_codes),
        )
        version = version_of([self.version, repr(own_marks), repr(own_codes)])
        return Reference(
            self.sources,
            all_marks,
            all_codes,
            self.features,
            self.exclusions,
            self.families,
            self.countries,
            self.held,
            self.copies,
            version,
        )

    def share_of(self, country: str) -> float:
        """The share of a country in the makers' marks: how likely a bottle of an unknown country is its."""
        return self._countries[alike(country)] / max(1, len(self.marks))

    def family_of(self, feature: str) -> str:
        """The family whose evidence a feature shares; empty where it stands alone."""
        member = self.families.get(feature)
        return member.family if member else ""

    def source_words(self, keys: str, locator: str = "") -> str:
        """Authors and titles of a source cell; of an own row what it names itself."""
        if keys == "own" and locator:
            return locator
        words = [
            self.sources[k].words if k in self.sources else ("own note" if k == "own" else k)
            for k in keys.split(";")
        ]
        return "; ".join(words) + (f": {locator}" if locator else "")


def _excluded(pairs: Iterable[Exclusion], variants: Variants) -> dict[frozenset[str], Exclusion]:
    """The pairs that rule each other out; what holds for a row holds for its variants, as they look alike."""
    found: dict[frozenset[str], Exclusion] = {}
    for pair in pairs:
        for a in (pair.feature_a, *(row.id for row in variants.of(pair.feature_a))):
            for b in (pair.feature_b, *(row.id for row in variants.of(pair.feature_b))):
                found.setdefault(frozenset((a, b)), pair)
    return found


def _within_marks(code: DateCode, marks: Mapping[str, Mark]) -> DateCode:
    """A scheme that says no years of its own holds for those of its marks, their soft ends included."""
    shapes = [shape_of_mark(marks[name]) for name in code.mark_ids]
    if not shapes or (code.valid_from, code.valid_to) != (None, None):
        return code
    starts, ends = [shape.earliest for shape in shapes], [shape.latest for shape in shapes]
    return replace(
        code,
        valid_from=None if None in starts else min(filter(None, starts)),
        valid_to=None if None in ends else max(filter(None, ends)),
    )


def _own(file: str, rows: list[Mapping[str, object]]) -> Iterable[Cells]:
    return (Cells(file, str(row.get("id") or number), row) for number, row in enumerate(rows, 1))


def _values(found: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({value for value in found if value} - {"any"}))


def load(texts: Mapping[str, str]) -> Reference:
    """A reference from the texts of its tables; raises ReferenceError for a row that may not be used."""
    rows = {name: rows_of(name, text) for name, text in texts.items()}
    sources = keyed(rows["sources"], read_source, "key", {})
    countries = keyed(rows["countries"], lambda c: read_country(c, sources), "code", {})
    marks = keyed(rows["marks"], lambda c: read_mark(c, sources, {"", *countries}), "id", {})
    common = keyed(rows["commonness"], lambda c: read_commonness(c, sources, marks), "mark", {})
    marks |= {name: replace(marks[name], common=row) for name, row in common.items()}
    codes = keyed(rows["date_codes"], lambda c: read_code(c, sources, marks), "id", {})
    held = keyed(rows["contents"], lambda c: read_content(c, sources), "word", {})
    places = {"any", *countries, *REGIONS_ALIKE.values()}
    features = keyed(rows["features"], lambda c: read_feature(c, sources, places, {"any", *held}), "id", {})
    check_variants(features)
    exclusions = keyed(rows["exclusions"], lambda c: read_exclusion(c, sources, features), "id", {})
    families = read_families(rows["families"], sources, features)
    copied = {*features, *marks}
    copies = keyed(rows["reproductions"], lambda c: read_copy(c, copied, sources), "id", {})
    for code in codes.values():
        for name in code.only_with:
            if name not in features:
                raise ReferenceError("date_codes.csv", code.id, "only_with", f"there is no feature “{name}”")
    version = version_of([*(texts[name] for name in sorted(texts)), repr(ASSUMPTIONS), RULES])
    return Reference(sources, marks, codes, features, exclusions, families, countries, held, copies, version)


TABLE_NAMES = (
    *("marks", "date_codes", "features", "exclusions", "families", "sources", "countries", "contents"),
    *("commonness", "reproductions"),
    # read elsewhere, but part of the version: a reading that is one of these dates nothing
    *("phrases", "trade_words"),
)


# Remembered while the program runs: the packaged tables do not change meanwhile.
@lru_cache(maxsize=1)
def reference() -> Reference:
    """The packaged tables, read and checked once."""
    return load({name: PUBLISHED.text(name) for name in TABLE_NAMES})
