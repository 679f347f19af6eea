"""Finds as a plate of elevations: each to one scale on a ground line, cut out of its picture or drawn."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.silhouette import elevation, scale_bar
from catalogue.common.localisation import units_shown
from catalogue.common.quantities import Units
from catalogue.pages.parts.cards import outline_kind
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen

# CSS pixels for a millimetre: a wine bottle of 300 mm stands a little under a quarter of a phone high.
PX_PER_MM = 0.65
# Taller than this and all are drawn smaller, down to a scale at which an ink can still be touched.
TALLEST_PX, LEAST_PX_PER_MM = 208.0, 0.4
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
class Elevation:
    """One find on the plate, in CSS pixels; `measured` is False where its height is only that of its kind.

    `cut` is the picture it is cut out of; where there is none, `drawing` is the dashed outline of its kind.
    """

    find: Specimen
    height: int
    width: int
    measured: bool
    cut: Photo | None
    drawing: SafeString


# How long a scale bar is in each system, in mm, and how that is said.
SCALE_BARS = {Units.METRIC: (100.0, "10 cm"), Units.INCH: (101.6, "4 in")}


@dataclass(frozen=True, slots=True)
class ScaleBar:
    """The bar of a plate, to its scale, and how long it is in words."""

    drawing: SafeString
    words: str


@dataclass(frozen=True, slots=True)
class ElevationPlate:
    """Finds in their order, to one scale, and the bar that says which."""

    standing: list[Elevation]
    bar: ScaleBar


def bar_of(px_per_mm: float) -> ScaleBar:
    """In the units that the house shows."""
    length_mm, words = SCALE_BARS[units_shown()]
    # safe: the drawing holds numbers alone
    return ScaleBar(mark_safe(scale_bar(length_mm, px_per_mm)), words)


def elevations_of(finds: Iterable[Specimen]) -> ElevationPlate:
    """The finds in their order. Two queries: the pictures that they are cut out of, the units shown."""
    finds = list(finds)
    cuts = Photo.objects.cuts_of([find.pk for find in finds])
    tallest = max((height_of(find) for find in finds), default=1.0)
    scale = min(PX_PER_MM, max(LEAST_PX_PER_MM, TALLEST_PX / tallest))
    standing = [_stand(find, cuts.get(find.pk), scale) for find in finds]
    return ElevationPlate(standing, bar_of(scale))


# What a first find may be: tall and small, slim and wide.
FIRST_KINDS = ("wine", "soda", "ink", "case", "medicine", "beer", "jar", "flask", "milk")


@dataclass(frozen=True, slots=True)
class EmptyPlate:
    """Outlines of kinds of vessels, where nothing stands yet."""

    drawings: list[SafeString]
    bar: ScaleBar


def empty_plate() -> EmptyPlate:
    """A plate before the first find. One query: the units shown."""
    # safe: the drawings hold numbers and words of ours alone
    drawings = [
        mark_safe(elevation(kind, height_mm=USUAL_MM[kind], px_per_mm=PX_PER_MM)) for kind in FIRST_KINDS
    ]
    return EmptyPlate(drawings, bar_of(PX_PER_MM))


def height_of(find: Specimen) -> float:
    """Its height in millimetres, that of its kind where nobody measured it."""
    return float(find.height_mm) if find.height_mm else float(USUAL_MM.get(find.kind, USUAL_OTHER_MM))


def _stand(find: Specimen, cut: Photo | None, px_per_mm: float) -> Elevation:
    measured, height = bool(find.height_mm), height_of(find)
    tall = max(1, round(height * px_per_mm))
    if cut is not None and cut.cut_width and cut.cut_height:
        wide = max(1, round(tall * cut.cut_width / cut.cut_height))
        return Elevation(find, tall, wide, measured, cut, SafeString(""))
    across = float(find.diameter_mm) if find.diameter_mm and measured else None
    # safe: the drawing holds numbers and words of ours alone
    drawn = mark_safe(
        elevation(outline_kind(find), height_mm=height, diameter_mm=across, px_per_mm=px_per_mm)
    )
    return Elevation(find, tall, 0, measured, None, drawn)
