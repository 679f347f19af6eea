"""Mutation analysis of the tables: every row's years moved one at a time, and who notices.

A firm limit is moved by twenty years either way, and by ten, as a law would be; a side of a mark and the
years of a code by forty. Noticed by a second source: a check value that is not of the row's own source then
differs. Noticed by the copy: ``copied_years.csv`` differs, which any moved year of a feature or mark does.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import cast

from dating import Reference

from .firm_limits import LIMIT_MOVED, limits, limits_amiss
from .second_sources import MOVED, Row, amiss, codes_amiss, lines

LAW_MOVED = 10
TOLD = " in the table, "


@dataclass(frozen=True, slots=True)
class Moved:
    """How many moves of one kind were made, and how many of them a second source noticed."""

    what: str
    made: int
    noticed: int

    @property
    def share(self) -> float:
        return self.noticed / self.made


def survey(ref: Reference) -> list[Moved]:
    """Every move, by kind."""
    return [
        _counted(f"firm limits by {LIMIT_MOVED} years", _of_limits(ref, LIMIT_MOVED)),
        _counted(f"firm limits by {LAW_MOVED} years", _of_limits(ref, LAW_MOVED)),
        _counted(f"sides of marks by {MOVED} years", _of_marks(ref)),
        _counted(f"years of codes by {MOVED} years", _of_codes(ref)),
    ]


def in_words(found: list[Moved]) -> str:
    """The sentence that DEVELOPERS.md has."""
    parts = [f"{round(100 * one.share)} % of {one.made} moves of {one.what}" for one in found]
    return f"second sources notice {', '.join(parts[:-1])} and {parts[-1]}"


def _counted(what: str, noticed: Iterator[bool]) -> Moved:
    told = list(noticed)
    return Moved(what, len(told), sum(told))


def _of_limits(ref: Reference, years: int) -> Iterator[bool]:
    given = _by_key(lines("second_sources"))
    for name, side in limits(ref):
        feature = ref.features[name]
        names = ("earliest", "common_from") if side == "start" else ("latest", "common_to")
        column = next(each for each in names if getattr(feature, each) is not None)
        for move in (-years, years):
            spoilt = replace(feature, **{column: getattr(feature, column) + move})
            said = limits_amiss(_only(ref, features={name: spoilt}), given.get((name, side), []))
            yield any(TOLD in each for each in said)


def _of_marks(ref: Reference) -> Iterator[bool]:
    given = _by_key(lines("second_sources_marks"))
    for mark in ref.marks.values():
        for side, column in (("from", "used_from"), ("to", "used_to")):
            year = getattr(mark, column)
            for move in (-MOVED, MOVED) if year is not None else ():
                spoilt = replace(mark, **{column: year + move})
                said = amiss(_only(ref, marks={mark.id: spoilt}), given.get((mark.id, side), []))
                yield any(TOLD in each for each in said)


def _of_codes(ref: Reference) -> Iterator[bool]:
    given = lines("second_sources_codes")
    for code in ref.date_codes.values():
        mine = [line for line in given if line["id"] == code.id and line["verdict"] != "example"]
        for column in ("valid_from", "valid_to"):
            year = getattr(code, column)
            for move in (-MOVED, MOVED) if year is not None else ():
                spoilt = replace(code, **{column: year + move})
                yield bool(mine and codes_amiss(_only(ref, date_codes={code.id: spoilt}), mine))


def _only(ref: Reference, **tables: object) -> Reference:
    """One row of one table, for the checks that read no other."""
    return cast(Reference, SimpleNamespace(sources=ref.sources, **tables))


def _by_key(given: list[Row]) -> dict[tuple[str, str], list[Row]]:
    found: dict[tuple[str, str], list[Row]] = {}
    for line in given:
        found.setdefault((line["id"], line["side"]), []).append(line)
    return found
