"""What the exhibit shows of a piece, in the catalogue and in carried pages alike."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ExhibitPiece:
    """One piece with a picture; `year` is where it stands among the years, None for an undated one."""

    number: str
    what: str
    made: str
    town: str
    year: int | None
    picture: str
    free: bool = False


def exhibit_data(pieces: Sequence[ExhibitPiece]) -> list[list[str | int | None]]:
    """As the script reads them: number, what, years in words, town, year, address of the picture, free."""
    return [[p.number, p.what, p.made, p.town, p.year, p.picture, int(p.free)] for p in pieces]
