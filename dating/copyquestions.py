"""Questions of later copies: which are open, and what an answer would tell (information gain)."""

from collections.abc import Sequence

from .case import Case
from .constants import CANNOT_TELL, COPY_SHARE, EFFORT, NAMED_LEAST
from .copies import COPIES, Reproduction, copies_of
from .evidence import Piece
from .library import Reference
from .looknext import Look, entropy
from .ranking import mark_shares
from .years import Axis


def open_copies(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[Reproduction, ...]:
    """The copies of what was seen whose tell-tales were not; of marks only the likely ones.

    A piece that is known for certain to be older than the copies is none of them.
    """
    seen = {one.id for one in case.features}
    names = seen | {ref.variants.taken(name, case.region, case.contents).id for name in seen}
    if ref.copied_marks and case.marks:
        shares = mark_shares(case, pieces, after, axis, ref)
        names |= {one.id for one in shares if one.id and one.probability >= NAMED_LEAST}
    last = min(
        (k.end for k in case.known if k.end is not None and k.certainty == "certain"), default=axis.last
    )
    return tuple(copy for copy in copies_of(names, ref) if copy.id not in seen and copy.start <= last)


EFFORT_OF_COPY = "a loupe"


def copy_look(copy: Reproduction, after: Sequence[float], late: Sequence[float]) -> Look:
    """The tell-tales of a copy as a question; ``late`` is the posterior were they seen.

    Its gain is what the answer yes or no tells of the year (the Jensen–Shannon divergence of the two
    posteriors, weighed by the chance of a copy): nothing where a copy would be of the same years.
    """
    told = 1 - CANNOT_TELL[EFFORT_OF_COPY]
    mixed = [(1 - COPY_SHARE) * a + COPY_SHARE * b for a, b in zip(after, late, strict=True)]
    bits = entropy(mixed) - (1 - COPY_SHARE) * entropy(after) - COPY_SHARE * entropy(late)
    bits = max(0.0, told * bits)
    words = f"{copy.ask} If so, it was made {copy.made}."
    worth = bits / EFFORT[EFFORT_OF_COPY]
    return Look(COPIES, copy.ask, bits, EFFORT_OF_COPY, worth, words, (copy.id,))
