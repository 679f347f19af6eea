"""Check values of firm limits from second sources: the year another source has, how far it may be off.

``second_sources.csv`` has a line for each firm side of a feature: ``year`` stands in the table, ``found`` is
what the second source has, ``tolerance`` the years between them that its verdict allows. ``agree``: at most
five. ``differ``: further off; the note says why the row stands, and it may not drift further. ``none found``:
a moved year is noticed by the copy (``copied_years.csv``) alone.
"""

from dating import Reference
from dating.tables import Feature

from .second_sources import VERDICTS, Row, lines

AGREES = 5  # years of tolerance at which two sources of a limit still agree
LIMIT_MOVED = 20  # a move of a scar, a patent or an invention by so many years has to be noticed
Side = tuple[str, str]


def limit_of(feature: Feature, side: str) -> int | None:
    """The year of a firm side."""
    if side == "start":
        return feature.earliest or feature.common_from
    return feature.latest or feature.common_to


def limits(ref: Reference) -> dict[Side, int | None]:
    """Every firm limit of the features, by feature and side."""
    found: dict[Side, int | None] = {}
    for feature in ref.features.values():
        for side in ("start", "end"):
            if feature.hard_limit in (side, "both"):
                found[feature.id, side] = limit_of(feature, side)
    return found


def limits_amiss(ref: Reference, given: list[Row] | None = None) -> list[str]:
    """What is wrong with the lines for firm limits, in words; nothing where all is well.

    The copied ``year`` plays no part here: what is said rests on the second source alone.
    """
    given = lines("second_sources") if given is None else given
    known = limits(ref)
    missing = sorted(known.keys() - {(line["id"], line["side"]) for line in given})
    found = [f"{name} {side}: no line in second_sources.csv" for name, side in missing]
    for line in given:
        key = line["id"], line["side"]
        if key in known:
            found += [f"{key[0]} {key[1]}: {said}" for said in _amiss(line, known[key], ref)]
    return found


def _amiss(line: Row, year: int | None, ref: Reference) -> list[str]:
    if line["verdict"] not in VERDICTS:
        return [f"unknown verdict “{line['verdict']}”"]
    if line["verdict"] == "none found":
        return ["a year, but nothing found"] if line["found"] or line["second_source"] else []
    if not (line["second_source"] and line["where"]):
        return ["no second source, or not where in it"]
    said = line["second_source"].casefold()
    own = [ref.sources[key] for key in ref.features[line["id"]].source.split(";")]
    found = ["the second source is the row's own"] if any(s.title.casefold() in said for s in own) else []
    checked, tolerance = int(line["found"]), int(line["tolerance"])
    if year is None or abs(year - checked) > tolerance:
        found.append(f"{year} in the table, {checked} in {line['second_source']}")
    if line["verdict"] == "agree" and tolerance > AGREES:
        found.append(f"agrees with a tolerance of {tolerance} years")
    if line["verdict"] == "differ" and not line["note"]:
        found.append("differs without saying why the row stands")
    return found
