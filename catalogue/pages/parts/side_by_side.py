"""Finds as they would stand side by side on a board: silhouettes drawn to one scale."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.silhouette import standing
from catalogue.specimens.models import Specimen

# CSS pixels for a millimetre: a wine bottle of 300 mm stands a little under half a phone's screen high.
PX_PER_MM = 0.62
# How tall such a vessel usually is, for one that nobody measured; from looking at many, no source.
USUAL_MM = {
    "soda": 190,
    "beer": 240,
    "wine": 300,
    "case": 250,
    "flask": 190,
    "medicine": 150,
    "poison": 150,
    "ink": 60,
    "milk": 220,
    "jar": 180,
    "cordial": 220,
    "scent": 90,
    "torpedo": 230,
    "jug": 320,
    "stopper": 45,
}
USUAL_OTHER_MM = 200


@dataclass(frozen=True, slots=True)
class ScaledOutline:
    """One find on the board; `measured` is False where its height is only that of its kind."""

    find: Specimen
    drawing: SafeString
    measured: bool


def scaled_outlines(finds: Iterable[Specimen]) -> list[ScaledOutline]:
    """The finds in their order, each drawn to its own sizes. No query."""
    return [_stand(find) for find in finds]


def _stand(find: Specimen) -> ScaledOutline:
    kind = find.kind or "other"
    measured = find.height_mm is not None
    height = float(find.height_mm) if measured else float(USUAL_MM.get(kind, USUAL_OTHER_MM))
    across = float(find.diameter_mm) if find.diameter_mm and measured else None
    # safe: the drawing holds numbers and words of ours alone
    drawn = mark_safe(standing(kind, height_mm=height, diameter_mm=across, px_per_mm=PX_PER_MM))
    return ScaledOutline(find, drawn, measured)
