"""Regional variants of a term: one look whose years differ by country or contents, offered once.

A row that is a variant of an older one is no answer of its own: whoever ticks the older row gets the
variant's years where the bottle's region (and contents) are those of the variant. A finer kind of a row, one
that tells more than it, is an answer of its own, but where it belongs to one country only once the region is
known.
"""

from collections.abc import Mapping

from .checks import ReferenceError
from .places import Coverage, alike
from .tables import Feature

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
