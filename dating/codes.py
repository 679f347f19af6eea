"""Date codes: a scheme's row, and what characters beside a mark mean under it.

They allow certain years, or are no year: a number that fits no year of the scheme is a mould or catalogue
number and dates nothing. A scheme may hold a table: ``G=1935;H=1936`` (letters), ``.=193X``
(dots), ``3=Marrowby,1921-1935`` (works).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from .edit_distance import ANY
from .facts import Cells, Source
from .tables import MARK_BASES, Mark, sources_of


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
    only_with: tuple[str, ...] = ()
    """Features one of which shows that the rule was in force; empty where nothing need show it."""
    or_from: int | None = None
    """… or other evidence that begins in this year or later."""

    @property
    def bindings(self) -> int:
        """How many conditions narrow the scheme; the most specific one that fits is used."""
        return sum(bool(v) for v in (self.contents, self.bottler, self.product, self.region, self.works))


# The kinds of schemes, and what their characters are in words; of “other” nothing is known.
KIND_WORDS = {
    "last-digit": "the last figure of a year",
    "last-two-digits": "the last two figures of a year",
    "full-year": "a whole year",
    "letter-table": "a letter of the table",
    "dot-table": "a sign of the table",
    "month-year": "a month and a year",
    "works-table": "a sign of the table of works",
}
CODE_KINDS = (*KIND_WORDS, "other")

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

CODE_COLUMNS = frozenset(DateCode.__slots__)
# The first two are for a user's own schemes, the others for the rules of a law.
CODE_BINDINGS = frozenset({"product", "works", "only_with", "or_from"})
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
    if kind in TABLED:
        problem = table_problem(kind, table)
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
        sources_of(cells, sources),
        cells.text("locator"),
        cells.choice("basis", MARK_BASES, "published"),
        cells.text("note"),
        cells.several("only_with"),
        cells.year("or_from"),
    )


TABLED = ("letter-table", "dot-table", "works-table")
_SPAN = re.compile(
    r"(?:(?P<works>[^,]*),)?\s*(?:(?P<a>\d{4})\s*(?:[-–]\s*(?P<b>\d{4})?)?|(?P<decade>\d{3})[Xx]|(?P<tens>\d{3}0)s)$"
)

Span = tuple[int, int]


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=512)
def code_table(table: str) -> dict[str, tuple[str, Span]]:
    """Key → (works or empty, first and last year); raises ValueError with what is wrong."""
    found: dict[str, tuple[str, Span]] = {}
    for part in filter(None, (p.strip() for p in table.split(";"))):
        key, equals, value = part.rpartition("=")
        key = key.strip().upper()
        match = _SPAN.match(value.strip())
        if not equals or not key or not match:
            raise ValueError(f"“{part[:40]}” is not of the form key=year")
        if key in found:
            raise ValueError(f"“{key}” is there twice")
        found[key] = ((match["works"] or "").strip(), _span_of(match))
    if not found:
        raise ValueError("the table is empty")
    return found


def _span_of(match: re.Match[str]) -> Span:
    if match["decade"]:
        return int(match["decade"]) * 10, int(match["decade"]) * 10 + 9
    if match["tens"]:
        return int(match["tens"]), int(match["tens"]) + 9
    first = int(match["a"])
    last = int(match["b"]) if match["b"] else first
    if match.group(0).rstrip().endswith(("-", "–")):
        last = 2999
    if last < first:
        raise ValueError(f"years out of order: {last} is before {first}")
    return first, last


def table_problem(kind: str, table: str) -> str:
    """What is wrong with a code's table, or nothing."""
    try:
        code_table(table)
    except ValueError as error:
        return f"{kind}: {error}"
    return ""


LIKE_DIGITS = str.maketrans(
    "OQDILZS", "0001125"
)  # letters a worn digit is typed as; only where digits are due

MONTH_YEAR = re.compile(r"^(0?[1-9]|1[0-2])(?:\s*[-./ ]\s*(\d{1,2}|\d{4})|(\d\d))$")
_BRACKETS = re.compile(r"\[([^\]]*)\]")


def tidy(text: str) -> str:
    """The characters in capitals, outer blanks off: what the schemes compare."""
    return text.strip().upper()


def digits_read(text: str) -> int:
    """How many characters were read; unread ones (``?``) do not count, ``[17]`` counts as one."""
    return sum(c.isalnum() for c in _BRACKETS.sub("1", text))


def unreadable(text: str) -> bool:
    """Something is there, but no character of it was read."""
    return digits_read(text) == 0


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=4096)
def _expression(text: str) -> re.Pattern[str]:
    """A pattern for what may have stood there: ``?`` any character, ``[17]`` either."""
    out = []
    for piece in re.finditer(r"\[([^\]]*)\]|.", text):
        if piece.group(1):
            out.append("." if ANY in piece.group(1) else f"[{re.escape(piece.group(1))}]")
        else:
            out.append("." if piece.group(0) == ANY else re.escape(piece.group(0)))
    return re.compile("".join(out))


def _fits(text: str, code: str) -> bool:
    return _expression(text).fullmatch(code) is not None


def _as_digits(text: str) -> str:
    return re.sub(r"\s", "", text).translate(LIKE_DIGITS)


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=8192)
def years_allowed(code: DateCode, text: str, first: int, last: int) -> tuple[int, ...]:
    """The years from first to last that the characters allow under the scheme; none: it is no year."""
    low = max(first, code.valid_from or first)
    high = min(last, code.valid_to or last)
    chars = tidy(text)
    if low > high or not chars or code.kind == "other":
        return ()
    years = range(low, high + 1)
    if code.kind in TABLED:
        return tuple(y for y in years if _in_table(code, chars, y))
    if code.kind == "month-year":
        return tuple(y for y in years if _in_month_year(chars, y))
    entries = _code_table_or_none(code.table) if code.table else {}
    if entries:
        return tuple(
            y for y in years if any(_fits(chars, k) and a <= y <= b for k, (_, (a, b)) in entries.items())
        )
    digits = _as_digits(chars)
    length = {"last-digit": 1, "last-two-digits": 2, "full-year": 4}[code.kind]
    return tuple(y for y in years if _fits(digits, f"{y:04d}"[-length:]))


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=512)
def _code_table_or_none(table: str) -> dict[str, tuple[str, tuple[int, int]]]:
    try:
        return code_table(table)
    except ValueError:
        return {}  # a remark in words beside a plain digit scheme


def _in_table(code: DateCode, chars: str, year: int) -> bool:
    entries = code_table(code.table)
    if code.kind == "dot-table":
        digit = "".join(c for c in chars if c.isalnum() or c == ANY)
        sign = "".join(c for c in chars if not c.isalnum() and c != ANY and not c.isspace())
        a, b = entries.get(sign, ("", (1, 0)))[1]
        return a <= year <= b and (not digit or _fits(_as_digits(digit), str(year)[-len(digit) :]))
    return any(_fits(chars, key) and a <= year <= b for key, (_, (a, b)) in entries.items())


def _in_month_year(chars: str, year: int) -> bool:
    match = MONTH_YEAR.match(_as_digits(chars) if " " not in chars else chars.translate(LIKE_DIGITS))
    if not match:
        return False
    tail = match[2] or match[3]
    return str(year).endswith(tail)


def works_named(code: DateCode, text: str) -> tuple[str, ...]:
    """The works that the characters name under a works table."""
    if code.kind != "works-table":
        return ()
    entries = code_table(code.table)
    return tuple(works for key, (works, _) in entries.items() if works and _fits(tidy(text), key))


def sample(code: DateCode, year: int) -> str:
    """The characters that a bottle of that year should carry; empty where the scheme gives none."""
    if code.kind == "other" or year < (code.valid_from or year) or year > (code.valid_to or year):
        return ""
    if code.kind in TABLED or (code.table and _code_table_or_none(code.table)):
        for key, (_, (a, b)) in _code_table_or_none(code.table).items():
            if a <= year <= b:
                return key if code.kind != "dot-table" or a == b else f"{year % 10}{key}"
        return ""
    return {
        "last-digit": f"{year % 10}",
        "last-two-digits": f"{year % 100:02d}",
        "full-year": f"{year}",
        "month-year": f"6-{year % 100:02d}",
    }[code.kind]
