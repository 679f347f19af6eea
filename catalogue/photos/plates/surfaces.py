"""Surfaces behind plates (contrast, variation, relief) worked out of pictures; the latest in an LRU cache."""

import logging
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from catalogue.photos import files
from catalogue.photos.decoding import AT_MOST_TWO, averageable, to_srgb, turned_upright
from catalogue.photos.image_file import FORMATS
from catalogue.photos.imaging import ImagingError, as_plate, local_contrast, raised, raking_relief

from .recipe import CropBox, PlateLook, PlateShot, Recipe

log = logging.getLogger("siltmark.pictures")
# Longest side of what is worked on: lettering is read at this size, and the slowest plate takes seconds.
LONGEST_PX = 1200
UNREADABLE_FILE = "The file of this picture can't be read; its original may be damaged."
# A few tens of megabytes at most; on a modest laptop one person reads one base at a time.
SURFACES_KEPT = 3


@dataclass(frozen=True, slots=True, eq=False)
class Surfaces:
    """What several plates are laid out from, all in the place of the first picture's part `box`.

    Grey ones are uint8 (height, width). `normals` as `raking_relief` gives them, at half precision.
    """

    box: CropBox
    plain: NDArray[np.uint8]
    contrast: NDArray[np.uint8]
    variation: NDArray[np.uint8] | None = None
    raised: NDArray[np.uint8] | None = None
    normals: NDArray[np.float16] | None = None
    albedo: NDArray[np.float16] | None = None

    @property
    def looks(self) -> list[PlateLook]:
        """What can be shown of it."""
        there = [PlateLook.PLAIN, PlateLook.CONTRAST]
        if self.variation is not None:
            there.append(PlateLook.VARIATION)
        return there if self.raised is None else [*there, PlateLook.RAISED, PlateLook.RELIT]


# What surfaces depend on: the pictures, where the lamps stood, and the part that is shown.
SurfaceKey = tuple[tuple[str, ...], tuple[float, ...] | None, float, CropBox]
_kept: OrderedDict[SurfaceKey, Surfaces] = OrderedDict()
# Held while working: a second request for the same waits for the first, and two never fill the memory.
_working = Lock()


def surfaces_of(recipe: Recipe) -> Surfaces:
    """The surfaces of a recipe, from memory where it was asked for lately. Raises ImagingError."""
    box = recipe.box()
    key = (tuple(shot.sha256 for shot in recipe.shots), recipe.clocks, recipe.rise_deg, box)
    with _working:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
        made = work_out(recipe)
        _kept[key] = made
        while len(_kept) > SURFACES_KEPT:
            _kept.popitem(last=False)
        return made


def forget() -> None:
    """Let everything go; the next request works it out anew."""
    with _working:
        _kept.clear()


def work_out(recipe: Recipe) -> Surfaces:
    """Open the pictures and work the surface out: seconds for eight pictures. Raises ImagingError."""
    box = recipe.box()
    pictures = [part_of(shot, box) for shot in recipe.shots]
    if len(pictures) == 1:
        return Surfaces(box, pictures[0], as_plate(local_contrast(pictures[0])))
    relief = raking_relief(pictures, recipe.clocks, recipe.rise_deg)
    # Of the pictures themselves the first is shown: their mean has lost what one low lamp brings out.
    plain, contrast = pictures[0], as_plate(local_contrast(pictures[0]))
    # The rim changes far more than any letter: each part is shown by what is strong around it.
    variation = as_grey(raised(relief.variation))
    if relief.normals is None or relief.albedo is None or relief.height_px is None:
        return Surfaces(box, plain, contrast, variation)
    return Surfaces(
        box,
        plain,
        contrast,
        variation,
        raised=as_grey(raised(relief.height_px)),
        normals=relief.normals.astype(np.float16),
        albedo=relief.albedo.astype(np.float16),
    )


def part_of(shot: PlateShot, box: CropBox, longest_px: int = LONGEST_PX) -> NDArray[np.uint8]:
    """The part `box` the right way up, in sRGB, made smaller to `longest_px`. Raises ImagingError."""
    left, top, right, bottom = box
    across = (right - left) * shot.width, (bottom - top) * shot.height
    scale = min(1.0, longest_px / max(across))
    size = max(1, round(across[0] * scale)), max(1, round(across[1] * scale))
    try:
        with AT_MOST_TWO, Image.open(files.original(shot.sha256, shot.format), formats=FORMATS) as image:
            if isinstance(image, JpegImageFile) and scale <= 0.5:
                # Decoded at half, a quarter or an eighth, which is never smaller than what is wanted.
                image.draft(image.mode, (round(image.width * scale), round(image.height * scale)))
            image.load()
            picture = turned_upright(averageable(image))
            wide, high = picture.size
            cut = (left * wide, top * high, right * wide, bottom * high)
            picture = picture.resize(size, Image.Resampling.BOX if scale < 1 else None, box=cut)
            return np.asarray(to_srgb(picture).convert("RGB"))
    except Exception as error:
        # A file damaged on disk: decoders raise anything.
        log.warning("no plate of %s: %s: %s", shot.sha256, type(error).__name__, error)
        raise ImagingError(UNREADABLE_FILE) from None


def as_grey(values: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Fractions 0 to 1 as 0 to 255."""
    return np.round(np.clip(values, 0, 1) * 255).astype(np.uint8)
