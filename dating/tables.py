"""The rows of the dating tables, their columns typed, read and checked; date codes have their own module."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from .edit_distance import plain
from .facts import BASIS_WORDS, Cells, FactFolder, Source, keyed
from .spoken import ARRANGEMENT_WORDS, FRAME_KEYS

HOW_COMMON = ("few", "some", "many")
COUNTS = {
    "few": "few bottles bear this mark, so it counts less",
    "many": "many bottles bear this mark, so it counts more",
    "own": "a maker of your own, so it counts more",
}


@dataclass(frozen=True, slots=True)
class Commonness:
    """How many bottles bear a mark (``few``, ``some``, ``many``; ``own``: one's own); how that is known."""

    mark: str
    commonness: str
    source: str
    basis: str
    note: str

    @property
    def counts(self) -> str:
        """Why the mark's share is not the usual one; empty where it is."""
        return COUNTS.get(self.commonness, "")

    @property
    def words(self) -> str:
        """What the mark's row says of it; nothing for the middle sort."""
        if self.commonness not in ("few", "many"):
            return ""
        return f"{self.commonness} bottles bear it: {self.note} ({BASIS_WORDS[self.basis]})"


UNSAID = Commonness("", "some", "", "common", "")
ONES_OWN = Commonness("", "own", "", "common", "")


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
    common: Commonness = UNSAID


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
    world_wide: str
    years_read: tuple[str, ...]
    source: str
    locator: str
    basis: str
    note: str
    variant_of: str = ""
    kind_of: str = ""


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


@dataclass(frozen=True, slots=True)
class FamilyMember:
    """A feature that follows from the same cause as the others of its family: dependent evidence."""

    feature: str
    family: str
    source: str
    basis: str


DATING_BASES = ("published", "memory")
MARK_BASES = ("published", "partly", "memory")  # of a mark or code: all, some or nothing of it was read
PUBLISHED = FactFolder(Path(__file__).resolve().parent / "reference")


def sources_of(cells: Cells, known: Mapping[str, Source] | None) -> str:
    """The source cell; ``known`` is None for a user's own rows, which may say “own” or nothing."""
    if known is None:
        return cells.text("source") or "own"
    keys = cells.source_keys(known)
    if not keys:
        raise cells.refuse("source", "a row needs its source")
    return ";".join(keys)


MARK_COLUMNS = frozenset(Mark.__slots__) - {"common"}
MARK_NEEDED = frozenset({"id", "letters", "maker", "used_from", "used_to"})


def _seen_word(cells: Cells, field: str, known: Iterable[str], usual: str, published: bool) -> str:
    """A frame or arrangement. Of a published mark it is one of those that a person can say he saw: a slip of
    the pen would be offered to everybody as one more answer, and the mark would never be found."""
    return cells.choice(field, tuple(known), usual) if published else cells.text(field) or usual


def read_mark(
    cells: Cells, sources: Mapping[str, Source] | None, countries: Collection[str] | None = None
) -> Mark:
    """One row of marks.csv (of one of ``countries``), or one of the user's own where ``sources`` is None."""
    published = sources is not None
    cells.check_columns(MARK_COLUMNS if published else MARK_NEEDED, MARK_COLUMNS)
    letters, symbol = plain(cells.text("letters")), cells.text("symbol")
    if not letters and not symbol:
        raise cells.refuse("letters", "a mark needs letters or a symbol")
    used_from, used_to = cells.year("used_from"), cells.year("used_to")
    cells.in_order(used_from=used_from, used_to=used_to)
    return Mark(
        cells.text("id", needed=True),
        letters,
        symbol,
        _seen_word(cells, "frame", FRAME_KEYS, "none", published),
        _seen_word(cells, "arrangement", ARRANGEMENT_WORDS, "plain", published),
        cells.text("text"),
        cells.text("maker", needed=True),
        cells.text("place"),
        cells.text("country") if countries is None else cells.one_of("country", countries),
        used_from,
        used_to,
        cells.flag("from_circa"),
        cells.flag("to_circa"),
        cells.choice("window_of", ("mark", "firm"), "mark"),
        cells.text("found_on"),
        sources_of(cells, sources),
        cells.text("locator"),
        cells.choice("basis", MARK_BASES, "published"),
        cells.text("note"),
        ONES_OWN if sources is None else UNSAID,
    )


FEATURE_COLUMNS = frozenset(Feature.__slots__)
FIRM_SIDES = ("none", "start", "end", "both")
CORNERS = ("earliest", "common_from", "common_to", "latest")


def read_feature(
    cells: Cells, sources: Mapping[str, Source], regions: Collection[str], contents: Collection[str]
) -> Feature:
    """One row of features.csv."""
    cells.check_columns(FEATURE_COLUMNS, frozenset())
    corners = {name: cells.year(name) for name in CORNERS}
    cells.in_order(**corners)
    read = cells.several("years_read")
    for name in read:
        if name not in CORNERS:
            raise cells.refuse("years_read", f"“{name}” is none of the four years")
    hard_limit = cells.choice("hard_limit", FIRM_SIDES, "none")
    world_wide = cells.choice("world_wide", FIRM_SIDES, "none")
    if world_wide not in ("none", hard_limit) and hard_limit != "both":
        raise cells.refuse("world_wide", "only a firm side holds all over the world")
    return Feature(
        cells.text("id", needed=True),
        cells.text("group", needed=True),
        cells.text("term", needed=True),
        cells.text("how_to_see"),
        corners["earliest"],
        corners["common_from"],
        corners["common_to"],
        corners["latest"],
        cells.one_of("region", regions),
        cells.one_of("applies_to", contents),
        hard_limit,
        world_wide,
        read,
        sources_of(cells, sources),
        cells.text("locator"),
        cells.choice("basis", DATING_BASES, "published"),
        cells.text("note"),
        cells.text("variant_of"),
        cells.text("kind_of"),
    )


def read_exclusion(cells: Cells, sources: Mapping[str, Source], features: Mapping[str, Feature]) -> Exclusion:
    """One row of exclusions.csv."""
    cells.check_columns(frozenset(Exclusion.__slots__), frozenset())
    for field in ("feature_a", "feature_b"):
        if cells.text(field) not in features:
            raise cells.refuse(field, f"there is no feature “{cells.text(field)}”")
    return Exclusion(
        cells.text("feature_a"), cells.text("feature_b"), cells.text("why"), sources_of(cells, sources)
    )


def read_families(
    rows: Iterable[Cells], sources: Mapping[str, Source], features: Mapping[str, Feature]
) -> dict[str, FamilyMember]:
    """Feature → its family, from families.csv; a feature has one family at most, a family two features."""
    listed = list(rows)
    sizes = Counter(cells.text("family") for cells in listed)

    def read(cells: Cells) -> FamilyMember:
        cells.check_columns(frozenset(FamilyMember.__slots__), frozenset())
        cells.check_length()
        family = cells.text("family", needed=True)
        if sizes[family] < 2:
            raise cells.refuse("family", f"“{family[:40]}” has no other feature")
        basis = cells.grounds(sources).basis
        return FamilyMember(cells.one_of("feature", features), family, cells.text("source"), basis)

    return keyed(listed, read, "feature")


# The lip: one group of the table, two questions, for a lip has been made in some way whatever its shape.
LIP = "finish"  # the group of the tables, and the question how it was made
LIP_SHAPES = "lip-shape"  # the other question
# What the making left on a lip of whatever shape; every other row of the group is a shape.
HOW_FINISHED = frozenset(
    {
        *("applied-finish", "applied-finish-au", "tooled-finish", "improved-tooled-finish"),
        *("ground-finish", "sheared-finish", "burst-off-finish", "fire-polished-finish"),
        *("rolled-finish", "cork-finish-machine", "machine-fire-polished-rim", "knoppol-se"),
    }
)


def lip_parts(features: Iterable[Feature]) -> tuple[list[Feature], list[Feature]]:
    """The rows of the group that tell how a lip was made, and those that tell its shape."""
    made: list[Feature] = []
    shapes: list[Feature] = []
    for feature in features:
        (made if feature.id in HOW_FINISHED else shapes).append(feature)
    return made, shapes


def read_commonness(cells: Cells, sources: Mapping[str, Source], marks: Collection[str]) -> Commonness:
    """One row of commonness.csv; raises ReferenceError."""
    cells.check_columns(frozenset(Commonness.__slots__), frozenset())
    cells.check_length()
    cells.text("commonness", needed=True)
    basis = cells.grounds(sources).basis
    return Commonness(
        cells.one_of("mark", marks),
        cells.choice("commonness", HOW_COMMON, ""),
        cells.text("source"),
        basis,
        cells.text("note", needed=True),
    )
