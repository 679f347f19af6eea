"""From what, and how, a plate is made: enough to make the same one again."""

from dataclasses import dataclass

from catalogue.photos.imaging import Rim, fit_rim
from catalogue.photos.imaging.arrays import Point

# A place in a picture: per cent of its width from the left, per cent of its height from the top.
Place = tuple[float, float]
# How much of the base's diameter is kept around it, so that pictures can be laid on each other.
MARGIN = 0.06
# Shares of the picture: left, top, right, bottom.
Box = tuple[float, float, float, float]
WHOLE: Box = (0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Shot:
    """One original: its digest and kind, its size in pixels as shown, and its row for the record."""

    sha256: str
    format: str
    width: int
    height: int
    pk: int


@dataclass(frozen=True, slots=True)
class Lamp:
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

    shots: tuple[Shot, ...]
    clocks: tuple[float, ...] | None = None
    rise_deg: float = 25.0
    rim: tuple[Place, ...] = ()
    middle: Place | None = None
    outward: bool = True
    start_deg: float = 0.0
    turn_deg: float = 0.0
    inner: float = 0.3

    def points(self, width: float, height: float, box: Box = WHOLE) -> list[Point]:
        """The rim's places in pixels of the part `box` of the picture, drawn `width` × `height` large."""
        return [pixel(place, width, height, box) for place in self.rim]

    def rim_in(self, width: float, height: float, box: Box = WHOLE) -> Rim:
        """The fitted rim, in the same pixels. Raises ImagingError."""
        middle = None if self.middle is None else pixel(self.middle, width, height, box)
        return fit_rim(self.points(width, height, box), middle)

    def box(self) -> Box:
        """The part of the picture that holds the base with a little around it. Raises ImagingError."""
        if not self.rim:
            return WHOLE
        shot = self.shots[0]
        rim = self.rim_in(shot.width, shot.height)
        around = [rim.at(turn) for turn in range(0, 360, 3)]
        off = 2 * MARGIN * rim.radius_px
        return (
            max(0.0, (min(x for x, _ in around) - off) / shot.width),
            max(0.0, (min(y for _, y in around) - off) / shot.height),
            min(1.0, (max(x for x, _ in around) + off) / shot.width),
            min(1.0, (max(y for _, y in around) + off) / shot.height),
        )


def pixel(place: Place, width: float, height: float, box: Box = WHOLE) -> Point:
    """A place in pixels of the part `box`; whole numbers are the middles of pixels."""
    left, top, right, bottom = box
    return (
        (place[0] / 100 - left) / (right - left) * width - 0.5,
        (place[1] / 100 - top) / (bottom - top) * height - 0.5,
    )


def place_of(point: Point, width: float, height: float) -> Place:
    """Undoes `pixel` for a whole picture."""
    return (point[0] + 0.5) / width * 100, (point[1] + 0.5) / height * 100
