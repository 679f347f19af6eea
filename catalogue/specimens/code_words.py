"""Schemes of date codes in plain words, each with an example worked out by the dating service itself."""

from dataclasses import dataclass

from dating.codes import DateCode

POSITION_WORDS = {
    "any": "anywhere beside the mark",
    "left": "at the left of the mark",
    "right": "at the right of the mark",
    "above": "above the mark",
    "below": "below the mark",
}


@dataclass(frozen=True, slots=True)
class KindHelp:
    """One kind of scheme: what stands there, what it says, and what such a thing looks like."""

    kind: str
    name: str
    says: str
    example: str
    sample: str


# The years in these examples are made up to show the pattern.
CODE_KIND_WORDS = (
    KindHelp(
        "last-digit",
        "One digit",
        "the last digit of the year",
        "6 can be 1926, 1936 or 1946 while the code was used from 1921 to 1950.",
        "7",
    ),
    KindHelp(
        "last-two-digits",
        "Two digits",
        "the last two digits of the year",
        "38 is 1938.",
        "38",
    ),
    KindHelp("full-year", "A whole year", "the year itself", "1927 is 1927.", "1927"),
    KindHelp(
        "month-year",
        "Month and year",
        "the month, then the year, parted by a dash, a stop or a blank",
        "6-38 is June 1938.",
        "6-38",
    ),
    KindHelp(
        "letter-table",
        "Letters or signs",
        "each stands for its years; write the list",
        "A=1921; B=1922; C=1923-1925",
        "B",
    ),
    KindHelp(
        "dot-table",
        "Dots or lines with a digit",
        "the sign gives the decade, a digit the year in it; write the list of signs",
        ".=192X; ..=193X; -=194X: 7 with two dots is 1937, 7 with a line 1947.",
        "7..",
    ),
    KindHelp(
        "works-table",
        "The works",
        "which works made it, and so when; write the list",
        "3=Quay works,1921-1935; 4=Hill works,1936-1950",
        "3",
    ),
    KindHelp(
        "other",
        "Something else",
        "no date: a mould or order number, or a code whose key nobody has",
        "Kept as a note, never read as a year.",
        "7",
    ),
)
BY_KIND = {each.kind: each for each in CODE_KIND_WORDS}


def explain(code: DateCode) -> str:
    """One sentence on a scheme: what stands where, what it says, when, and for which bottles only."""
    known = BY_KIND.get(code.kind)
    if code.kind == "other":
        what = f"Something {where(code.position)} that gives no year by itself"
    else:
        what = _what(code, known)
    parts = [what]
    if code.valid_from or code.valid_to:
        parts.append(years_of(code))
    only = [
        name
        for name in (
            code.contents and f"bottles for {code.contents}",
            code.bottler,
            code.product,
            code.works,
            code.region and f"bottles of {code.region}",
        )
        if name
    ]
    sentence = ", ".join(parts)
    return f"{sentence}. Only for {', '.join(only)}." if only else f"{sentence}."


def _what(code: DateCode, known: KindHelp | None) -> str:
    if known is None:
        return f"Characters {where(code.position)}: {code.kind}"
    says = known.says.partition(";")[0] if code.kind.endswith("-table") else known.says
    return f"{known.name} {where(code.position)}: {says}"


def where(position: str) -> str:
    """Where the characters stand, in words."""
    return POSITION_WORDS.get(position, f"on the {position}")


def years_of(code: DateCode) -> str:
    """The years a scheme was used, in words."""
    if code.valid_from and code.valid_to:
        return f"used from {code.valid_from} to {code.valid_to}"
    return f"used from {code.valid_from}" if code.valid_from else f"used until {code.valid_to}"


def sample_of(code: DateCode) -> str:
    """Characters that make a good question about this scheme: the first of its own table, else the kind's."""
    if code.table and "=" in code.table:
        first = code.table.partition("=")[0].strip()
        return f"7{first}" if code.kind == "dot-table" else first
    known = BY_KIND.get(code.kind)
    return known.sample if known else ""
