"""From the marks of the dating tables to the makers of the catalogue."""

from collections.abc import Callable
from dataclasses import dataclass

import dating

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
        mark = OwnMark.everything.select_related("maker").filter(pk=int(mark_id.removeprefix("own-"))).first()
        return mark.maker if mark else None
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
    if likeliest is None or likeliest.share < SHOWN_FROM:
        return Shown()
    return Shown(maker_of(likeliest.mark_id), MakerHow.LIKELY, round(likeliest.share, 4))


@dataclass(frozen=True, slots=True)
class MakerShare:
    """A maker it may be: the summed chance of its marks, and the likeliest of these."""

    name: str
    share: float
    mark_id: str


def maker_shares(finding: dating.Finding) -> list[MakerShare]:
    """Makers by the chance of their marks together, the likeliest first.

    Within one reading the marks of a maker add up; of several readings the one that tells most counts.
    What is left for marks not in the tables has no id and no maker.
    """
    sums: dict[tuple[int, str], float] = {}
    example: dict[str, str] = {}
    for candidate in finding.marks:
        if candidate.id is not None:
            key = (candidate.reading, candidate.maker)
            sums[key] = sums.get(key, 0.0) + candidate.probability
            example.setdefault(candidate.maker, candidate.id)
    best: dict[str, float] = {}
    for (_, name), share in sums.items():
        best[name] = max(best.get(name, 0.0), share)
    ranked = sorted(best.items(), key=lambda item: (-item[1], item[0]))
    return [MakerShare(name, share, example[name]) for name, share in ranked]


def mark_ids_of(maker: Maker) -> frozenset[str]:
    """The ids of a maker's marks in the joined tables."""
    own = {f"own-{pk}" for pk in OwnMark.objects.filter(maker=maker).values_list("pk", flat=True)}
    published = {
        mark.id
        for mark in dating.reference().marks.values()
        if maker.reference_key and reference_key(mark.maker, mark.place) == maker.reference_key
    }
    return frozenset(own | published)
