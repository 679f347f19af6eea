"""The recipe of a plate: from what and how it is made, enough to make it again, and the words for that."""

from dataclasses import dataclass

from django.db import models

from catalogue.photos.imaging import Rim, fit_rim
from catalogue.photos.imaging.arrays import Point

# A place in a picture: per cent of its width from the left, per cent of its height from the top.
PercentPoint = tuple[float, float]
# Shares of the picture: left, top, right, bottom.
CropBox = tuple[float, float, float, float]
WHOLE_PICTURE: CropBox = (0.0, 0.0, 1.0, 1.0)
# How much of the base's diameter is kept around it, so that pictures can be laid on each other.
CROP_MARGIN = 0.06


class PlateLook(models.TextChoices):
    PLAIN = "plain", "as photographed"
    CONTRAST = "contrast", "shading taken away"
    VARIATION = "variation", "what changes with the lamp"
    RAISED = "raised", "what stands raised"
    RELIT = "relit", "under a lamp you move"


class PlateShape(models.TextChoices):
    ROUND = "round", "as it lies"
    STRIP = "strip", "unrolled"


# How each was worked out, for the words kept with a plate.
METHOD_WORDS = {
    PlateLook.PLAIN: "laid out only, brightness as photographed",
    PlateLook.CONTRAST: "slow shading divided out, local contrast raised and equalised",
    PlateLook.VARIATION: "how much each spot changes from lamp to lamp, shading divided out",
    PlateLook.RAISED: "slopes from the lamps' places (photometric stereo, Woodham 1980), raised detail kept",
    PlateLook.RELIT: "slopes from the lamps' places (photometric stereo, Woodham 1980), lit anew",
}


@dataclass(frozen=True, slots=True)
class PlateShot:
    """One original: its digest and kind, its size in pixels as shown, and its row for the record."""

    sha256: str
    format: str
    width: int
    height: int
    pk: int


@dataclass(frozen=True, slots=True)
class MovableLamp:
    """A lamp that lights a relief anew: hour of the clock, degrees above the table, slopes times so much."""

    clock: float = 10.5
    high_deg: float = 25.0
    steep: float = 4.0


@dataclass(frozen=True, slots=True)
class Recipe:
    """Pictures of one base from an unmoved camera, the lamps' hours if known, and the rim as it was tapped.

    `rim` may be empty: the plate then shows the whole picture, and nothing is unrolled. `start_deg` is where
    the strip begins and `turn_deg` how far the round plate is turned, both clockwise.
    """

    shots: tuple[PlateShot, ...]
    clocks: tuple[float, ...] | None = None
    rise_deg: float = 25.0
    rim: tuple[PercentPoint, ...] = ()
    middle: PercentPoint | None = None
    outward: bool = True
    start_deg: float = 0.0
    turn_deg: float = 0.0
    inner: float = 0.3

    def points(self, width: float, height: float, box: CropBox = WHOLE_PICTURE) -> list[Point]:
        """The rim's places in pixels of the part `box` of the picture, drawn `width` × `height` large."""
        return [pixel(place, width, height, box) for place in self.rim]

    def rim_in(self, width: float, height: float, box: CropBox = WHOLE_PICTURE) -> Rim:
        """The fitted rim, in the same pixels. Raises ImagingError."""
        middle = None if self.middle is None else pixel(self.middle, width, height, box)
        return fit_rim(self.points(width, height, box), middle)

    def box(self) -> CropBox:
        """The part of the picture that holds the base with a little around it. Raises ImagingError."""
        if not self.rim:
            return WHOLE_PICTURE
        shot = self.shots[0]
        rim = self.rim_in(shot.width, shot.height)
        around = [rim.at(turn) for turn in range(0, 360, 3)]
        off = 2 * CROP_MARGIN * rim.radius_px
        return (
            max(0.0, (min(x for x, _ in around) - off) / shot.width),
            max(0.0, (min(y for _, y in around) - off) / shot.height),
            min(1.0, (max(x for x, _ in around) + off) / shot.width),
            min(1.0, (max(y for _, y in around) + off) / shot.height),
        )


def pixel(place: PercentPoint, width: float, height: float, box: CropBox = WHOLE_PICTURE) -> Point:
    """A place in pixels of the part `box`; whole numbers are the middles of pixels."""
    left, top, right, bottom = box
    return (
        (place[0] / 100 - left) / (right - left) * width - 0.5,
        (place[1] / 100 - top) / (bottom - top) * height - 0.5,
    )


def place_of(point: Point, width: float, height: float) -> PercentPoint:
    """Undoes `pixel` for a whole picture."""
    return (point[0] + 0.5) / width * 100, (point[1] + 0.5) / height * 100


def caption_of(recipe: Recipe, look: PlateLook, shape: PlateShape) -> str:
    """What it is, short: it stands below the picture."""
    of = "the base" if recipe.rim else "the picture"
    how = f"{of} unrolled" if shape == PlateShape.STRIP else of
    return f"Plate of {how}, {look.label if look != PlateLook.RELIT else 'lit anew'}"


def how_made(recipe: Recipe, look: PlateLook, shape: PlateShape, lamp: MovableLamp) -> str:
    """Method, pictures, points and lamp; enough to make it again. At most 500 characters."""
    parts = [METHOD_WORDS[look], source_words(recipe)]
    if recipe.rim:
        points = "; ".join(percent_words(place) for place in recipe.rim)
        parts.append(f"rim at {points} (per cent from left, top)")
        if recipe.middle:
            parts.append(f"middle {percent_words(recipe.middle)}")
        if shape == PlateShape.STRIP:
            way = "heads to the rim" if recipe.outward else "heads to the middle"
            parts.append(
                f"from {recipe.start_deg:g}° clockwise, {way}, ring from {recipe.inner:g} of the radius"
            )
        elif recipe.turn_deg:
            parts.append(f"turned {recipe.turn_deg:g}°")
    if look == PlateLook.RELIT:
        parts.append(f"lamp at {lamp.clock:g} o'clock, {lamp.high_deg:g}° high, slopes × {lamp.steep:g}")
    text = "Worked out here: " + ", ".join(parts) + "."
    return text if len(text) <= 500 else text[:499] + "…"


def source_words(recipe: Recipe) -> str:
    """Which originals: by their row, and by the start of the digest of the first."""
    named = ", ".join(str(shot.pk) for shot in recipe.shots)
    first = recipe.shots[0].sha256[:8]
    if len(recipe.shots) == 1:
        return f"from picture {named} (SHA-256 {first}…)"
    if recipe.clocks is None:
        return f"from pictures {named} (first SHA-256 {first}…), lamp's places not recorded"
    hours = ", ".join(f"{clock:g}" for clock in recipe.clocks)
    return (
        f"from pictures {named} (first SHA-256 {first}…), lamp at {hours} o'clock, {recipe.rise_deg:g}° high"
    )


def percent_words(place: PercentPoint) -> str:
    """A place as the record tells it."""
    return f"{place[0]:.1f} {place[1]:.1f}"
