"""Years known from elsewhere, validated; duplicate evidence is one piece, as sure as the surer telling."""

from dataclasses import dataclass, replace

from . import checks, edtf
from .checks import CaseError, EdtfError, certainty
from .constants import CERTAINTY


@dataclass(frozen=True, slots=True)
class Known:
    """Years known from elsewhere: a directory, a dated event, a law that is named on the glass."""

    what: str
    start: int | None
    end: int | None
    certainty: str = "certain"
    source: str = ""
    start_circa: bool = False
    end_circa: bool = False
    of_firm: bool = False
    years: tuple[int, ...] = ()


def read_known(value: object, this_year: int) -> tuple[Known, ...]:
    """What is known; the same years of the same thing said twice are one piece, as sure as the surer.

    Years that begin after this year are refused: nothing can have been made then. A last year may lie there.
    """
    best: dict[Known, Known] = {}
    for n, item in enumerate(checks.items(value, "known")):
        known = _known(item, f"known[{n}]", this_year)
        bare = replace(known, what=" ".join(known.what.split()).casefold(), certainty="certain", source="")
        before = best.get(bare, known)
        surer = max(before, known, key=lambda one: CERTAINTY[one.certainty])
        sources = "; ".join(dict.fromkeys(filter(None, (before.source, known.source))))
        best[bare] = replace(surer, source=sources)
    return tuple(best.values())


def _known(value: object, at: str, this_year: int) -> Known:
    keys = ("what", "from", "to", "certainty", "source", "from_circa", "to_circa", "of_firm", "edtf")
    entry = checks.mapping(value, at, keys)
    start_circa = checks.flag(entry.get("from_circa"), f"{at}.from_circa")
    end_circa = checks.flag(entry.get("to_circa"), f"{at}.to_circa")
    of_firm = checks.flag(entry.get("of_firm"), f"{at}.of_firm")
    start, end = checks.year(entry.get("from"), f"{at}.from"), checks.year(entry.get("to"), f"{at}.to")
    checks.in_order(start, end, f"{at}.to")
    years: tuple[int, ...] = ()
    written = checks.text(entry.get("edtf"), f"{at}.edtf")
    if written:
        if start is not None or end is not None:
            raise CaseError("give either edtf or from and to, not both", f"{at}.edtf")
        try:
            read = edtf.parse(written)
        except EdtfError as error:
            raise CaseError(str(error), f"{at}.edtf") from error
        start, end, years = read.earliest, read.latest, read.separate
        start_circa, end_circa = read.start_approximate, read.end_approximate
    checks.not_to_come(start, this_year, f"{at}.edtf" if written else f"{at}.from")
    return Known(
        checks.text(entry.get("what"), f"{at}.what") or "known years",
        start,
        end,
        certainty(entry.get("certainty"), f"{at}.certainty"),
        checks.text(entry.get("source"), f"{at}.source", 2000) or "",
        start_circa,
        end_circa,
        of_firm,
        years,
    )
