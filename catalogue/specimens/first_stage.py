"""Default stage: how far along a new find begins, where nobody said."""

from dating import edtf

from . import clock
from .models.words import Stage

# What came up this year or the last may well be wet still.
LATELY_YEARS = 1


def first_stage(*, from_dive: bool, recovered: str, this_year: int | None = None) -> Stage | None:
    """Wet from a dive, done without one; None where that is unclear and a person is to say.

    `recovered` is when it came up, in EDTF, "" for not known. Unclear is what has no dive and may have come
    up this year or the last (common practice, no source).
    """
    if from_dive:
        return Stage.WET
    if not recovered:
        return Stage.DONE
    latest = edtf.parse(recovered).latest
    lately = (clock.this_year() if this_year is None else this_year) - LATELY_YEARS
    return None if latest is None or latest >= lately else Stage.DONE
