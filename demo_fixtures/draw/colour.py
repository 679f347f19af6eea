"""Colours on the screen against amounts of light: all shading is done with the latter."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Light = NDArray[np.float32]


def from_hex(code: str) -> Light:
    """The amounts of red, green and blue light (0 to 1, linear) of a screen colour such as `#f4efe4`."""
    screen = np.array([int(code[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.float32) / 255.0
    return screen**2.2


def to_image(light: Light) -> Image.Image:
    """A picture from an array (height, width, 3) of light; what is brighter than white rolls off softly."""
    knee = 0.82
    over = np.maximum(light - knee, 0.0)
    rolled = np.minimum(light, knee) + (1.0 - knee) * (1.0 - np.exp(-over / (1.0 - knee)))
    screen = np.clip(rolled, 0.0, 1.0) ** (1 / 2.2)
    return Image.fromarray(np.round(screen * 255.0).astype(np.uint8))


def mix(under: Light, over: Light, share: NDArray[np.float32] | float) -> Light:
    """`over` laid on `under` with an opacity per pixel (height, width) or one for all."""
    if isinstance(share, np.ndarray) and share.ndim == 2:
        share = share[..., None]
    return under + (over - under) * share
