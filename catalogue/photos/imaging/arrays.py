"""Pictures as numpy arrays: grey values (luma), amounts of light (sRGB transfer curve undone), resampling.

A picture is an array (height, width) or (height, width, 3 or 4) of uint8, uint16 or of fractions 0 to 1.
Places in it are (x, y) in pixels: x to the right, y down, whole numbers in the middle of a pixel.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Picture = NDArray[Any]
Map = NDArray[np.float32]
Point = tuple[float, float]
PIXEL_LIMIT = 120_000_000
# Luma: share of red, green and blue in what the eye takes for brightness, ITU-R BT.709.
LUMA_WEIGHTS = np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)


class ImagingError(ValueError):
    """The one error of this package: what was asked can't be worked out from what was given.

    The message, a sentence to stand beside the picture, says why and what to do.
    """


def checked_picture(image: Picture, least: int = 8) -> Picture:
    """The same array, if it is a picture of at least `least` pixels a side; else ImagingError."""
    if not isinstance(image, np.ndarray) or image.ndim not in (2, 3):
        raise ImagingError("A picture is an array of height by width, with or without colours.")
    if image.ndim == 3 and image.shape[2] not in (1, 3, 4):
        raise ImagingError(f"A picture has 1, 3 or 4 colour channels, not {image.shape[2]}.")
    height, width = image.shape[:2]
    if min(height, width) < least:
        raise ImagingError(
            f"The picture is too small: {width} × {height} pixels, at least {least} are needed."
        )
    if height * width > PIXEL_LIMIT:
        raise ImagingError(f"The picture is too large: {width} × {height} pixels.")
    if image.dtype in (np.uint8, np.uint16):
        return image
    if not np.issubdtype(image.dtype, np.floating):
        raise ImagingError(f"A picture of {image.dtype} can't be read; use 8 or 16 bits or fractions 0 to 1.")
    if not np.isfinite(image).all():
        raise ImagingError("The picture holds values that are not numbers.")
    if image.min() < -0.001 or image.max() > 1.001:
        raise ImagingError("A picture of fractions runs from 0 (black) to 1 (white).")
    return image


def as_fractions(image: Picture) -> Map:
    """A checked picture as float32 from 0 to 1, same shape, without transparency."""
    image = checked_picture(image)
    if image.ndim == 3:
        image = image[..., 0] if image.shape[2] == 1 else image[..., :3]
    full = {"uint8": 255.0, "uint16": 65535.0}.get(image.dtype.name, 1.0)
    values = image.astype(np.float32)
    return values if full == 1.0 else values * np.float32(1 / full)


def grey(image: Picture) -> Map:
    """Grey values (height, width) from 0 to 1 as the screen would show them."""
    values = as_fractions(image)
    return values if values.ndim == 2 else np.asarray(values @ LUMA_WEIGHTS, dtype=np.float32)


def linear_light(image: Picture) -> Map:
    """Amounts of light (height, width) from 0 to 1: the screen's curve (IEC 61966-2-1, sRGB) undone."""
    image = checked_picture(image)
    if image.dtype == np.uint8:
        steps = srgb_to_linear(np.arange(256, dtype=np.float32) / np.float32(255))
        values = steps[image]
    else:
        values = srgb_to_linear(as_fractions(image))
    if values.ndim == 2:
        return values
    return (
        values[..., 0]
        if values.shape[2] == 1
        else np.asarray(values[..., :3] @ LUMA_WEIGHTS, dtype=np.float32)
    )


def srgb_to_linear(screen: Map) -> Map:
    """sRGB values 0 to 1 to amounts of light 0 to 1."""
    dark = screen / np.float32(12.92)
    bright = ((np.maximum(screen, 0) + np.float32(0.055)) / np.float32(1.055)) ** np.float32(2.4)
    return np.where(screen <= 0.04045, dark, bright).astype(np.float32)


def linear_to_srgb(amount: Map) -> Map:
    """Amounts of light 0 to 1 to sRGB values 0 to 1."""
    amount = np.clip(amount, 0, 1)
    bright = np.float32(1.055) * amount ** np.float32(1 / 2.4) - np.float32(0.055)
    return np.where(amount <= 0.0031308, amount * np.float32(12.92), bright).astype(np.float32)


def as_plate(values: NDArray[Any], cut: float = 0.005) -> NDArray[np.uint8]:
    """Any map (height, width) stretched to 0–255 for saving; the share `cut` at each end is clipped."""
    if values.ndim != 2 or not np.isfinite(values).all() or not 0 <= cut < 0.5:
        raise ImagingError("Only a map of numbers, height by width, can be made a plate.")
    low, high = np.quantile(values[:: max(1, values.shape[0] // 500)], (cut, 1 - cut))
    if high - low <= 1e-12:
        return np.full(values.shape, 128, dtype=np.uint8)
    stretched = np.clip((values - low) / (high - low), 0, 1)
    return np.asarray(np.round(stretched * 255), dtype=np.uint8)


def resized(values: Map, width: int, height: int) -> Map:
    """A map at another size; made smaller it is averaged, made larger it is interpolated."""
    if values.shape == (height, width):
        return values
    smaller = width <= values.shape[1] and height <= values.shape[0]
    how = Image.Resampling.BOX if smaller else Image.Resampling.BICUBIC
    picture = Image.fromarray(np.ascontiguousarray(values, dtype=np.float32))
    return np.asarray(picture.resize((width, height), how), dtype=np.float32)


def downsampled(colours: Map, factor: float) -> Map:
    """Colours (height, width, channels) averaged down by a factor; unchanged for 1 or less."""
    if factor <= 1:
        return colours
    size = (max(1, round(colours.shape[1] / factor)), max(1, round(colours.shape[0] / factor)))
    return np.stack([resized(layer, *size) for layer in np.moveaxis(colours, 2, 0)], axis=2)
