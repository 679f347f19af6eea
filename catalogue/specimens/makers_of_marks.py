"""From the marks of the dating tables to the makers of the catalogue."""

from collections.abc import Callable
from dataclasses import dataclass

import dating

from .maker_shares import maker_shares
from .models import Maker, OwnMark
from .models.specimen_words import MakerHow

SHOWN_FROM = 0.5


@dataclass(frozen=True, slots=True)
class Shown:
    """The maker that a find shows, and on what ground."""

    maker: Maker | None = None
    how: str = ""
    probability: float | None = None


def reference_key(name: str, place: str) -> str:
    """What ties a published maker to its row; two houses of one name in different places stay apart."""
    return f"{name} | {place}"[:300]


def maker_of(mark_id: str) -> Maker | None:
    """The maker behind a candidate of the dating service."""
    if mark_id.startswith("own-"):
        key = int(mark_id.removeprefix("own-"))
        own = OwnMark.everything.select_related("maker").filter(pk=key).first()
        return own.maker if own else None
    mark = dating.reference().marks.get(mark_id)
    if mark is None:
        return None
    return Maker.everything.filter(reference_key=reference_key(mark.maker, mark.place)).first()


def maker_shown(
    finding: dating.Finding, opinion: Maker | None, maker_of: Callable[[str], Maker | None] = maker_of
) -> Shown:
    """The current opinion, else the maker whose marks together have at least an even chance.

    `maker_of` spares who asks for many finds a query for each.
    """
    if opinion is not None:
        return Shown(opinion, MakerHow.OPINION, None)
    likeliest = next(iter(maker_shares(finding)), None)
    return maker_by_chance((likeliest.mark_id, likeliest.share) if likeliest else None, maker_of)


def maker_by_chance(
    likeliest: tuple[str, float] | None, maker_of: Callable[[str], Maker | None] = maker_of
) -> Shown:
    """The maker of the likeliest mark, given with the chance of all marks of its maker, if that is even."""
    if likeliest is None or likeliest[1] < SHOWN_FROM:
        return Shown()
    maker = maker_of(likeliest[0])
    # a published maker that has not been brought in yet can't be shown
    return Shown(maker, MakerHow.LIKELY, round(likeliest[1], 4)) if maker else Shown()
