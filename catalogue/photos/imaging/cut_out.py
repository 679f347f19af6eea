"""A bottle cut out of its picture along its outline, upright, on nothing: an array with transparency."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from .arrays import ImagingError, Picture, checked_picture
from .contour import Numbers, Outline, bottle_outline

# Ours, by the 150 pictures of the demo at 480 pixels: of standing bottles the least sure outline had .872 on
# average and was right; no sea scene had more than .33, of bases, which nobody asks to be cut, one .860.
SURE = 0.865
# Degrees: more than this and it lies or leans on something, whose edge would be taken for its own.
MOST_TILT_DEG = 12.0
# Rows whose edge is less clear than this take the edge of the rows around them.
CLEAR_ROW = 0.35
# Pixels that a cut keeps within its outline: the last ones hold some of the ground.
WITHIN_PX = 0.8
FINE = 4


def cut_out(image: Picture, tall_px: int) -> NDArray[np.uint8] | None:
    """The one bottle before a plain ground, as (height, width, 4) from lip to foot and from side to side.

    `image`: RGB of 8 bits, as `bottle_outline` takes it. At most `tall_px` high, and never larger than in
    the picture. None where its outline is not sure: something else must then stand for the piece.
    """
    try:
        outline = bottle_outline(checked_picture(image))
    except ImagingError:
        return None
    if float(outline.confidence.mean()) < SURE or abs(outline.tilt_deg) > MOST_TILT_DEG:
        return None
    shrunk = min(1.0, tall_px / outline.tall_px)
    radius = _steady_radius(outline) * shrunk
    tall = max(1, round(outline.tall_px * shrunk))
    wide = max(1, round(2 * float(radius.max())))
    colours = _upright(image, outline, shrunk, (wide, tall))
    return np.dstack([colours, _cover(radius, (wide, tall))])


def _steady_radius(outline: Outline) -> Numbers:
    """The radius at each height, taken from clear rows alone."""
    clear = outline.confidence >= CLEAR_ROW
    clear[[0, -1]] = True
    return np.asarray(np.interp(outline.height_px, outline.height_px[clear], outline.radius_px[clear]))


def _upright(image: Picture, outline: Outline, shrunk: float, size: tuple[int, int]) -> NDArray[np.uint8]:
    """The part of the picture around the axis, turned until the axis stands upright."""
    picture = Image.fromarray(np.ascontiguousarray(image[..., :3]))
    scaled = (max(1, round(picture.width * shrunk)), max(1, round(picture.height * shrunk)))
    across, down = scaled[0] / picture.width, scaled[1] / picture.height
    # Averaged first, as a turn alone would pick single pixels.
    picture = picture.resize(scaled, Image.Resampling.BOX if shrunk <= 0.5 else Image.Resampling.BICUBIC)
    lean = np.radians(outline.tilt_deg)
    cos, sin = float(np.cos(lean)), float(np.sin(lean))
    lip_x, lip_y = outline.lip[0] * across + 0.5, outline.lip[1] * down + 0.5
    middle = size[0] / 2
    # Right in the cut is along (cos, sin) in the picture, down is along (-sin, cos).
    matrix = (cos, -sin, lip_x - middle * cos, sin, cos, lip_y - middle * sin)
    turned = picture.transform(size, Image.Transform.AFFINE, matrix, Image.Resampling.BICUBIC)
    return np.asarray(turned, dtype=np.uint8)


def _cover(radius: Numbers, size: tuple[int, int]) -> NDArray[np.uint8]:
    """How much of each pixel is the bottle's, 0 to 255: the outline drawn fine, then averaged."""
    wide, tall = size[0] * FINE, size[1] * FINE
    rows = np.linspace(0, tall, len(radius))
    half = np.maximum(radius[::-1] - WITHIN_PX, 0) * FINE
    right = np.column_stack([wide / 2 + half, rows])
    left = np.column_stack([wide / 2 - half, rows])[::-1]
    fine = Image.new("L", (wide, tall))
    ImageDraw.Draw(fine).polygon([tuple(point) for point in np.vstack([right, left])], fill=255)
    return np.asarray(fine.resize(size, Image.Resampling.BOX), dtype=np.uint8)
