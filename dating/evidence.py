"""One piece of evidence ready for the arithmetic: its shape over the years, its weight and its words."""

from dataclasses import dataclass

from .axis import Axis
from .spans import EVER, Spans

BOUNDING = ("certain", "probable")  # a doubtful piece moves the odds, never the window


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A piece: ``heights`` t(y) over the axis, ``weight`` w, ``likelihood`` L(y) scaled to prior mean 1.

    L = w·t + (1−w)·t̄ with t̄ the prior mean of t: alone it gives exactly w·posterior + (1−w)·prior.
    Compared by identity.
    """

    kind: str
    key: str
    label: str
    detail: str
    certainty: str
    weight: float
    why_weight: str
    source: str
    heights: tuple[float, ...]
    likelihood: tuple[float, ...]
    support: Spans = EVER
    coded: bool = False
    family: str = ""

    @property
    def bounds(self) -> bool:
        """Whether it takes part in the window."""
        return self.certainty in BOUNDING

    @property
    def order(self) -> tuple[str, str, str, float]:
        """A place that does not depend on the order in which evidence was given."""
        return (self.kind, self.key, self.label, self.weight)


def likelihood(heights: tuple[float, ...], weight: float, axis: Axis) -> tuple[float, ...]:
    """L(y) scaled to a prior mean of 1; flat where the shape has no year on the axis (a conflict says so)."""
    mean = axis.mean(heights)
    if mean <= 0:
        return (1.0,) * len(heights)
    rise, floor = weight / mean, 1.0 - weight
    return tuple([rise * t + floor for t in heights])
