"""Letters on an unrolled base stand where they belong, upright and unmirrored."""

import numpy as np
import pytest

from catalogue.photos.imaging import Unrolled, unroll

from .places import column_of, row_of
from .reading import flat, read
from .rendered import Base, base, painted, seen, tilt


def ink_places(strip: Unrolled, made: Base) -> tuple[np.ndarray, np.ndarray]:
    """How far right and down of its place the centre of gravity of each letter's ink lies, in pixels."""
    dark = 220 - strip.picture[..., 0].astype(float)
    dark[dark < 40] = 0
    row = row_of(strip, made.share)
    half = strip.turn_px // (2 * len(made.word)) - 2
    off_x, off_y = [], []
    for turn in made.turns:
        column = column_of(strip, turn)
        columns = np.arange(round(column) - half, round(column) + half + 1)
        part = dark[:, columns % strip.turn_px]
        off_x.append(float((part.sum(axis=0) @ columns) / part.sum()) - column)
        off_y.append(float((part.sum(axis=1) @ np.arange(len(part))) / part.sum()) - row)
    return np.array(off_x), np.array(off_y)


def furthest(strip: Unrolled, made: Base) -> float:
    """The greatest distance of a letter from its place, as a share of the turn or of the ring's width."""
    off_x, off_y = ink_places(strip, made)
    return max(np.abs(off_x).max() / strip.turn_px, np.abs(off_y).max() / len(strip.picture))


@pytest.mark.parametrize("outward", [True, False], ids=["heads to the rim", "heads to the middle"])
@pytest.mark.parametrize("points", [3, 4, 5, 8])
def test_letters_lie_within_one_per_cent(outward: bool, points: int) -> None:
    made = base(outward=outward)
    strip = unroll(painted(made), made.rim(points), outward=outward, inner=0.4, outer=0.98)
    assert furthest(strip, made) < 0.01


def test_taps_two_pixels_off_still_give_one_per_cent() -> None:
    made, rng = base(), np.random.default_rng(4)
    for _ in range(5):
        taps = [(x + rng.normal(0, 2), y + rng.normal(0, 2)) for x, y in made.rim(8)]
        strip = unroll(painted(made), taps, inner=0.4, outer=0.96)
        off_x, _ = ink_places(strip, made)
        assert np.abs(off_x).max() / strip.turn_px < 0.01


@pytest.mark.parametrize("outward", [True, False])
def test_letters_are_upright_and_not_mirrored(outward: bool) -> None:
    made = base("FRGJLE275", outward=outward)
    strip = unroll(painted(made), made.rim(3), outward=outward, inner=0.4, outer=0.98)
    # In a strip as long as the rim, a letter at `share` of the radius is as tall as it is at that place.
    scale = strip.turn_px / (2 * np.pi * made.radius * made.share)
    strip_dark = Unrolled(
        255 - strip.picture[..., 0],
        strip.turn_px,
        strip.rim,
        outward,
        strip.start_deg,
        strip.inner,
        strip.outer,
    )
    assert read(strip_dark, made, flat, round(56 * scale)) == made.word


@pytest.mark.parametrize("about", [0, 35, 90, 160])
def test_a_base_tilted_by_twenty_degrees_within_two_per_cent(about: float) -> None:
    """Seen from far; the turns are measured from the top as it is in the tilted picture."""
    made = base()
    picture, rim, turns = tilted(made, 20, about, None)
    strip = unroll(picture, rim, inner=0.4, outer=0.96)
    there = Base(made.mask, made.word, turns, made.share, made.radius, made.middle)
    assert 0.93 < strip.rim.flatness < 0.95
    assert furthest(strip, there) < 0.02


@pytest.mark.parametrize("about", [0, 35, 90, 160])
def test_a_tilted_base_close_by_with_its_middle_marked(about: float) -> None:
    """A phone six radii away; without the middle the same picture is clearly worse."""
    made = base()
    picture, rim, turns = tilted(made, 20, about, 6.0)
    middle = seen(tilt(made, 20, about, 6.0), [made.middle])[0]
    there = Base(made.mask, made.word, turns, made.share, made.radius, made.middle)
    marked = furthest(unroll(picture, rim, inner=0.4, outer=0.96, middle=middle), there)
    unmarked = furthest(unroll(picture, rim, inner=0.4, outer=0.96), there)
    assert marked < 0.02
    assert unmarked > 2 * marked


def tilted(made: Base, by: float, about: float, distance: float | None):
    """The picture, eight rim points in it, and the letters' turns from what is then the top."""
    import cv2

    view = tilt(made, by, about, distance)
    size = made.mask.shape[::-1]
    picture = cv2.warpPerspective(painted(made), view, size, flags=cv2.INTER_LINEAR)
    x, y = seen(view, [made.middle])[0]
    ((up_x, up_y),) = seen(np.linalg.inv(view), [(x, y - 10)])
    top = np.degrees(np.arctan2(up_x - made.middle[0], made.middle[1] - up_y))
    return picture, seen(view, made.rim(8)), [turn - top for turn in made.turns]
