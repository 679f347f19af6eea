"""The columns of the five dating tables, read and checked: marks, date codes, features, exclusions."""

from collections.abc import Mapping
from pathlib import Path

from . import codes
from .facts import Cells, FactFolder, Source
from .letters import plain
from .rows import DateCode, Exclusion, Feature, Mark

CODE_KINDS = (
    "last-digit",
    "last-two-digits",
    "full-year",
    "letter-table",
    "dot-table",
    "month-year",
    "works-table",
    "other",
)
POSITIONS = (
    "any",
    "left",
    "right",
    "above",
    "below",
    "base",
    "heel",
    "lip",
    "side",
    "rim",
    "shoulder",
    "lid",
    "body",
)
DATING_BASES = ("published", "memory")
PUBLISHED = FactFolder(Path(__file__).resolve().parent / "reference")
REGIONS_ALIKE = {"GB": "UK"}  # two names of one place in the tables


def _sources(cells: Cells, known: Mapping[str, Source] | None) -> str:
    """The source cell; ``known`` is None for a user's own rows, which may say “own” or nothing."""
    if known is None:
        return cells.text("source") or "own"
    keys = cells.source_keys(known)
    if not keys:
        raise cells.refuse("source", "a row needs its source")
    return ";".join(keys)


MARK_COLUMNS = frozenset(Mark.__slots__)
MARK_NEEDED = frozenset({"id", "letters", "maker", "used_from", "used_to"})


def read_mark(cells: Cells, sources: Mapping[str, Source] | None) -> Mark:
    """One row of marks.csv, or one of the user's own where ``sources`` is None."""
    cells.check_columns(MARK_COLUMNS if sources is not None else MARK_NEEDED, MARK_COLUMNS)
    letters, symbol = plain(cells.text("letters")), cells.text("symbol")
    if not letters and not symbol:
        raise cells.refuse("letters", "a mark needs letters or a symbol")
    used_from, used_to = cells.year("used_from"), cells.year("used_to")
    cells.in_order(used_from=used_from, used_to=used_to)
    return Mark(
        cells.text("id", needed=True),
        letters,
        symbol,
        cells.text("frame") or "none",
        cells.text("arrangement") or "plain",
        cells.text("text"),
        cells.text("maker", needed=True),
        cells.text("place"),
        cells.text("country"),
        used_from,
        used_to,
        cells.flag("from_circa"),
        cells.flag("to_circa"),
        cells.choice("window_of", ("mark", "firm"), "mark"),
        cells.text("found_on"),
        _sources(cells, sources),
        cells.text("locator"),
        cells.choice("basis", DATING_BASES, "published"),
        cells.text("note"),
    )


CODE_COLUMNS = frozenset(DateCode.__slots__)
CODE_BINDINGS = frozenset({"product", "works"})  # only a user's own schemes have these two
CODE_NEEDED = frozenset({"id", "mark_ids", "kind"})


def read_code(cells: Cells, sources: Mapping[str, Source] | None, marks: Mapping[str, Mark]) -> DateCode:
    """One row of date_codes.csv, or one of the user's own where ``sources`` is None."""
    needed = CODE_COLUMNS - CODE_BINDINGS if sources is not None else CODE_NEEDED
    cells.check_columns(needed, CODE_COLUMNS)
    mark_ids = cells.several("mark_ids")
    for mark_id in mark_ids:
        if mark_id not in marks:
            raise cells.refuse("mark_ids", f"there is no mark “{mark_id}”")
    valid_from, valid_to = cells.year("valid_from"), cells.year("valid_to")
    cells.in_order(valid_from=valid_from, valid_to=valid_to)
    kind = cells.choice("kind", CODE_KINDS, "other")
    table = cells.text("table")
    if kind in codes.TABLED:
        problem = codes.table_problem(kind, table)
        if problem:
            raise cells.refuse("table", problem)
    return DateCode(
        cells.text("id", needed=True),
        mark_ids,
        cells.text("contents"),
        cells.text("bottler"),
        cells.text("product"),
        cells.text("region"),
        cells.text("works"),
        cells.choice("position", POSITIONS, "any"),
        kind,
        valid_from,
        valid_to,
        table,
        cells.text("example"),
        _sources(cells, sources),
        cells.text("locator"),
        cells.choice("basis", DATING_BASES, "published"),
        cells.text("note"),
    )


FEATURE_COLUMNS = frozenset(Feature.__slots__)
CORNERS = ("earliest", "common_from", "common_to", "latest")


def read_feature(cells: Cells, sources: Mapping[str, Source]) -> Feature:
    """One row of features.csv."""
    cells.check_columns(FEATURE_COLUMNS, frozenset())
    corners = {name: cells.year(name) for name in CORNERS}
    cells.in_order(**corners)
    read = cells.several("years_read")
    for name in read:
        if name not in CORNERS:
            raise cells.refuse("years_read", f"“{name}” is none of the four years")
    return Feature(
        cells.text("id", needed=True),
        cells.text("group", needed=True),
        cells.text("term", needed=True),
        cells.text("how_to_see"),
        corners["earliest"],
        corners["common_from"],
        corners["common_to"],
        corners["latest"],
        cells.text("region", needed=True),
        cells.text("applies_to", needed=True),
        cells.choice("hard_limit", ("none", "start", "end", "both"), "none"),
        read,
        _sources(cells, sources),
        cells.text("locator"),
        cells.choice("basis", DATING_BASES, "published"),
        cells.text("note"),
    )


def read_exclusion(cells: Cells, sources: Mapping[str, Source], features: Mapping[str, Feature]) -> Exclusion:
    """One row of exclusions.csv."""
    cells.check_columns(frozenset(Exclusion.__slots__), frozenset())
    for field in ("feature_a", "feature_b"):
        if cells.text(field) not in features:
            raise cells.refuse(field, f"there is no feature “{cells.text(field)}”")
    return Exclusion(
        cells.text("feature_a"), cells.text("feature_b"), cells.text("why"), _sources(cells, sources)
    )
