"""One row of each table as an unchanging value, its columns typed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """One variant of a maker's mark and the years of its use (``None``: that end is open)."""

    id: str
    letters: str
    symbol: str
    frame: str
    arrangement: str
    text: str
    maker: str
    place: str
    country: str
    used_from: int | None
    used_to: int | None
    from_circa: bool
    to_circa: bool
    window_of: str
    found_on: str
    source: str
    locator: str
    basis: str
    note: str


@dataclass(frozen=True, slots=True)
class DateCode:
    """What characters beside a mark say; ``table`` is the whole mapping where there is one."""

    id: str
    mark_ids: tuple[str, ...]
    contents: str
    bottler: str
    product: str
    region: str
    works: str
    position: str
    kind: str
    valid_from: int | None
    valid_to: int | None
    table: str
    example: str
    source: str
    locator: str
    basis: str
    note: str

    @property
    def bindings(self) -> int:
        """How many conditions narrow the scheme; the most specific one that fits is used."""
        return sum(bool(v) for v in (self.contents, self.bottler, self.product, self.region, self.works))


@dataclass(frozen=True, slots=True)
class Feature:
    """A way of making and its years: a trapezoid whose blank corners are open."""

    id: str
    group: str
    term: str
    how_to_see: str
    earliest: int | None
    common_from: int | None
    common_to: int | None
    latest: int | None
    region: str
    applies_to: str
    hard_limit: str
    years_read: tuple[str, ...]
    source: str
    locator: str
    basis: str
    note: str


@dataclass(frozen=True, slots=True)
class Exclusion:
    """Two features that cannot be on one bottle as made."""

    feature_a: str
    feature_b: str
    why: str
    source: str

    @property
    def id(self) -> str:
        """The pair as one key."""
        return f"{self.feature_a}+{self.feature_b}"
