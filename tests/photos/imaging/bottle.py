"""A bottle drawn before a plain ground, from a profile that is known."""

import cv2
import numpy as np

HEIGHT = 500


def profile(share: np.ndarray) -> np.ndarray:
    """Radius in pixels by share of the height: body, shoulder, neck, lip."""
    return np.interp(share, [0, 0.55, 0.72, 0.93, 0.931, 1], [85, 85, 36, 30, 40, 40])


def drawn(
    *, tilt_deg: float = 0.0, glass: float = 0.35, shadow: bool = False, noise: float = 1.5
) -> np.ndarray:
    """A bottle 500 pixels tall with darker edges and a bright stripe, its foot at (300, 600) if upright."""
    y, x = np.mgrid[0:700, 0:600].astype(np.float32)
    ground = 190 + 25 * np.sin(y / 400) + 15 * (x / 600)
    if shadow:
        ground -= 60 * np.exp(-(((y - 598) / 14) ** 2)) * np.clip(1 - np.abs(x - 400) / 160, 0, 1)
    share = (600 - y) / HEIGHT
    radius = np.where((share >= 0) & (share <= 1), profile(np.clip(share, 0, 1)), -9)
    off = np.abs(x - 300)
    cover = np.clip(radius - off + 0.5, 0, 1)
    inside = 1 - glass * (0.35 + 0.65 * np.clip(off / np.maximum(radius, 1), 0, 1) ** 4)
    glint = 30 * np.exp(-(((x - 270) / 6) ** 2))
    matrix = cv2.getRotationMatrix2D((300, 350), -tilt_deg, 1)
    piece = cv2.warpAffine(cover, matrix, (600, 700))
    look = cv2.warpAffine(inside, matrix, (600, 700), borderMode=cv2.BORDER_REPLICATE)
    shine = cv2.warpAffine(glint, matrix, (600, 700), borderMode=cv2.BORDER_REPLICATE)
    picture = ground * (1 - piece) + (ground * look + shine) * piece
    picture = cv2.GaussianBlur(picture, (0, 0), 0.8) + np.random.default_rng(0).normal(
        0, noise, picture.shape
    )
    colours = np.stack([picture, picture * 0.98, picture * 0.94], axis=2)
    return np.clip(colours, 0, 255).astype(np.uint8)
