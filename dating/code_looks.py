"""Looks for characters beside a mark: what they may tell, by the schemes of the makers it may be of."""

from collections.abc import Sequence
from dataclasses import replace

from .case import SLOT_WORDS, SLOTS, Case, MarkReading
from .codes import DateCode, sample
from .constants import CANNOT_TELL, CODE_RIGHT
from .evidence import Piece
from .library import Reference
from .looknext import Look, gain, look
from .markfactor import Candidate, mark_factor
from .schemes import schemes_for
from .years import Axis

EFFORT_OF_CODE = "a loupe"
CANDIDATES_WEIGHED = 6  # candidates weighed; the rest hardly matter


def code_looks(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> list[Look]:
    """One look for each mark reading beside which a code may stand that was not looked for."""
    out = []
    for number, reading in enumerate(case.marks):
        group = "characters at the mark" if number == 0 else f"characters at mark {number + 1}"
        if group in case.asked:
            continue
        factor = mark_factor(reading, case, axis, ref)
        coded = [
            (c, codes)
            for c in factor.leading[:CANDIDATES_WEIGHED]
            if (codes := _open_codes(c, reading, case, ref, axis)) and not c.effect.years
        ]
        if coded:
            answers = _code_answers(coded, factor.candidates, axis)
            asked = look(group, _ask(coded), gain(after, answers), EFFORT_OF_CODE)
            position = coded[0][1][0].position
            out.append(replace(asked, reading=number, side=position if position in SLOTS else ""))
    return out


def _open_codes(
    candidate: Candidate, reading: MarkReading, case: Case, ref: Reference, axis: Axis
) -> tuple[DateCode, ...]:
    """The schemes of a mark whose place was not looked at."""
    codes = schemes_for(candidate.mark, reading, case, ref, axis)
    slots = reading.slots
    return tuple(
        code
        for code in codes
        if (
            slots[code.position] is None if code.position in SLOTS else all(v is None for v in slots.values())
        )
    )


def _code_answers(
    coded: list[tuple[Candidate, tuple[DateCode, ...]]], candidates: Sequence[Candidate], axis: Axis
) -> list[list[float]]:
    """P(characters | year): each code's own in the share of its mark, else “no code”, or can't tell."""
    told = 1 - CANNOT_TELL[EFFORT_OF_CODE]
    size = axis.last - axis.first + 1
    totals = [sum(c.score * c.shape.at(y) for c in candidates) for y in axis.years]
    rows: dict[str, list[float]] = {}
    for candidate, codes in coded:
        code = codes[0]
        for n, year in enumerate(axis.years):
            height = candidate.shape.at(year)
            chars = sample(code, year) if height > 0 else ""
            if chars and totals[n] > 0:
                row = rows.setdefault(f"{code.position}:{chars}", [0.0] * size)
                row[n] += told * CODE_RIGHT * candidate.score * height / totals[n]
    none = [told - sum(row[n] for row in rows.values()) for n in range(size)]
    return [*rows.values(), none, [1 - told] * size]


def _ask(coded: list[tuple[Candidate, tuple[DateCode, ...]]]) -> str:
    position = coded[0][1][0].position
    where = SLOT_WORDS.get(position, f"on the {position}" if position != "any" else "beside or near the mark")
    return f"Look for characters {where}: do they give the year?"
