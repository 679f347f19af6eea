"""Which maker a finding speaks for, by the chances of the marks. Free of the database."""

from dataclasses import dataclass

import dating


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
