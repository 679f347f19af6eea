"""The makers that a dated bottle may be by, each with the chance of its marks together.

Free of the database, as the processes of the pool use it.
"""

from dataclasses import dataclass

import dating
from dating.window import DISAGREE


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


def likeliest_maker(finding: dating.Finding) -> MakerShare | None:
    """The maker that a find may be filed under; none where the evidence disagrees.

    What speaks against the mark's years speaks against its maker too, and which of the two was seen wrongly
    is for a person to say. The reading still shows whose mark it would be.
    """
    return None if finding.words == DISAGREE else next(iter(maker_shares(finding)), None)
