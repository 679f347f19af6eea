"""Colours on the screen against amounts of light: all shading is done with the latter."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import Floats

Light = Floats
LEVELS, BRIGHTEST = 16383, 4.0


def _screen_values() -> NDArray[np.uint8]:
    """Screen value for each level of light: soft knee near white, then the usual gamma."""
    light = np.arange(LEVELS + 1) * (BRIGHTEST / LEVELS)
    knee = 0.82
    over = np.maximum(light - knee, 0.0)
    rolled = np.minimum(light, knee) + (1.0 - knee) * (1.0 - np.exp(-over / (1.0 - knee)))
    result: NDArray[np.uint8] = np.round(255.0 * rolled ** (1 / 2.2)).astype(np.uint8)
    return result


_SCREEN = _screen_values()


def from_hex(code: str) -> Light:
    """The amounts of red, green and blue light (0 to 1, linear) of a screen colour such as `#f4efe4`."""
    screen = np.array([int(code[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.float32) / 255.0
    return screen**2.2


def to_image(light: Light) -> Image.Image:
    """A picture from an array (height, width, 3) of light; what is brighter than white rolls off softly."""
    index = np.clip(light * (LEVELS / BRIGHTEST), 0, LEVELS).astype(np.uint16)
    return Image.fromarray(_SCREEN[index])


def mix(under: Light, over: Light, share: Floats | float) -> Light:
    """`over` laid on `under` with an opacity per pixel or ray, or one for all."""
    if not isinstance(share, np.ndarray) or share.ndim == 0 or share.shape[-1] == 1:
        return under + (over - under) * share
    # Channel by channel: numpy is slow at spreading a grid over a last axis of three.
    out = np.empty((*share.shape, 3), dtype=np.float32)
    for channel in range(3):
        low, high = under[..., channel], over[..., channel]
        np.multiply(share, high - low, out=out[..., channel])
        out[..., channel] += low
    return out
