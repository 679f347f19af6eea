"""Image registration: phase correlation, then Lucas–Kanade, to lay pictures of one still piece on each other.

The light in them may come from different sides.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import ImagingError, Map, resized
from .gaussian_blur import flat_field, gaussian_blur

COARSE_PX = 256
FINE_PX = 560
ITERATIONS = 10


@dataclass(frozen=True, slots=True)
class Similarity:
    """Similarity transform (shift, turn, size): how a picture lies against another.

    What stands at (x, y) of the other, counted in pixels from its middle, is found in this one at
    ((1 + a)·x − b·y + right_px, b·x + (1 + a)·y + down_px) from its middle.
    """

    right_px: float
    down_px: float
    a: float = 0.0
    b: float = 0.0

    def matrix(self) -> NDArray[np.float64]:
        """The same as a 3×3 matrix for places (x, y, 1)."""
        a, b = 1 + self.a, self.b
        return np.array([[a, -b, self.right_px], [b, a, self.down_px], [0, 0, 1]])

    def scaled(self, factor: float) -> "Similarity":
        """The same between pictures so many times as large."""
        return Similarity(self.right_px * factor, self.down_px * factor, self.a, self.b)

    @staticmethod
    def of(matrix: NDArray[np.float64]) -> "Similarity":
        """Undoes `matrix`."""
        return Similarity(
            float(matrix[0, 2]), float(matrix[1, 2]), float(matrix[0, 0] - 1), float(matrix[1, 0])
        )


def register(pictures: Sequence[Map]) -> list[Similarity]:
    """How each map of light (all of one shape) lies against the first; the first is left where it is.

    The shift by phase correlation, then shift, turn and size by the inverse compositional method of Lucas and
    Kanade (Baker and Matthews 2004), both on the strength of edges, which depends little on the lamp's side;
    then each once more against all the others together, where the lamp's side evens out. Raises ImagingError
    where a picture shows something else or was moved by more than a third of its width.
    """
    edges = [edge_strength(picture, FINE_PX) for picture in pictures]
    moves = [Similarity(0.0, 0.0)]
    coarse = [_at_most_px(values, COARSE_PX) for values in edges]
    back = edges[0].shape[1] / coarse[0].shape[1]
    for number, (values, small) in enumerate(zip(edges[1:], coarse[1:], strict=True), start=2):
        right, down = phase_correlation(coarse[0], small)
        if max(abs(right) / small.shape[1], abs(down) / small.shape[0]) > 1 / 3:
            raise ImagingError(
                f"Picture {number} can't be laid on the first; was the piece or the phone moved?"
            )
        moves.append(lucas_kanade(edges[0], values, Similarity(right * back, down * back)))
    laid = [warped(values, move) for values, move in zip(edges, moves, strict=True)]
    together = np.sum(laid, axis=0)
    again = [
        lucas_kanade((together - own) / np.float32(len(edges) - 1), values, move)
        for own, values, move in zip(laid, edges, moves, strict=True)
    ]
    scale = max(pictures[0].shape) / max(edges[0].shape)
    first = np.linalg.inv(again[0].matrix())
    return [Similarity.of(move.matrix() @ first).scaled(scale) for move in again]


def edge_strength(picture: Map, longest: int) -> Map:
    """How steep the light is at each pixel against how steep nearby; the picture shrunk to `longest`."""
    values = np.log(flat_field(_at_most_px(np.maximum(picture, 0), longest), 0.06 * longest))
    down, right = np.gradient(gaussian_blur(values, 1.0))
    steep = gaussian_blur(np.hypot(down, right), 1.0)
    usual = float(steep.mean())
    if not usual > 1e-6:
        raise ImagingError("A picture shows nothing that it could be laid on the others by.")
    return np.asarray(
        steep / (gaussian_blur(steep, longest / 80) + np.float32(0.3 * usual)), dtype=np.float32
    )


def _at_most_px(values: Map, longest: int) -> Map:
    height, width = values.shape
    share = longest / max(height, width)
    if share >= 1:
        return values
    return resized(values, max(8, round(width * share)), max(8, round(height * share)))


def warped(picture: Map, move: Similarity, *, fine: bool = False) -> Map:
    """The picture drawn so that it lies on the other; what would come from outside it is 0."""
    height, width = picture.shape
    # Pillow counts from the corner of the first pixel.
    corner = np.array([[1, 0, width / 2], [0, 1, height / 2], [0, 0, 1.0]])
    data = (corner @ move.matrix() @ np.linalg.inv(corner))[:2].reshape(-1)
    how = Image.Resampling.BICUBIC if fine else Image.Resampling.BILINEAR
    drawn = Image.fromarray(picture).transform((width, height), Image.Transform.AFFINE, data.tolist(), how)
    return np.asarray(drawn, dtype=np.float32)


def lucas_kanade(still: Map, other: Map, move: Similarity) -> Similarity:
    """How `other` lies against `still` to a few hundredths of a pixel, from a shift that is right to a few.

    Inverse compositional method of Lucas and Kanade: Baker and Matthews 2004.
    """
    height, width = still.shape
    x = (np.arange(width, dtype=np.float32) + 0.5 - width / 2)[None, :]
    y = (np.arange(height, dtype=np.float32) + 0.5 - height / 2)[:, None]
    down, right = (np.asarray(slope, dtype=np.float32) for slope in np.gradient(still))
    margin = max(4, min(still.shape) // 40)
    inside = (slice(margin, -margin), slice(margin, -margin))
    ways = (right, down, right * x + down * y, down * x - right * y)
    slopes = np.stack([way[inside].reshape(-1) for way in ways])
    grip = (slopes @ slopes.T).astype(np.float64)
    if np.linalg.cond(grip) > 1e12:
        return move
    target = still[inside].reshape(-1)
    whole = move.matrix()
    for _ in range(ITERATIONS):
        seen = warped(other, Similarity.of(whole))[inside].reshape(-1)
        gain = float(seen @ target) / max(float(seen @ seen), 1e-9)
        step = np.linalg.solve(grip, (slopes @ (gain * seen - target)).astype(np.float64)).tolist()
        whole = whole @ np.linalg.inv(Similarity(*step).matrix())
        if np.hypot(step[0], step[1]) < 0.01 and np.hypot(step[2], step[3]) * width < 0.02:
            break
    found = Similarity.of(whole)
    astray = np.hypot(found.right_px - move.right_px, found.down_px - move.down_px) > 0.08 * width
    # Where the fine step runs away there was too little to hold on to; the start is the safer answer.
    return move if astray or not np.hypot(found.a, found.b) < 0.2 else found


def phase_correlation(still: Map, other: Map) -> tuple[float, float]:
    """How far right and down (pixels) the things of `still` lie in `other`, by phase correlation.

    Kuglin and Hines 1975; the peak to a part of a pixel. Phases are
    softened by a Gaussian, so that the finest, noisiest ones don't speak, and the edges faded by a Hann
    window.
    """
    height, width = still.shape
    window = np.hanning(height + 2)[1:-1, None] * np.hanning(width + 2)[None, 1:-1]
    one = np.fft.rfft2((still - still.mean()) * window)
    two = np.fft.rfft2((other - other.mean()) * window)
    cross = np.conj(one) * two
    size = np.abs(cross)
    high = np.fft.fftfreq(height)[:, None] ** 2 + np.fft.rfftfreq(width)[None, :] ** 2
    phases = cross / np.maximum(size, 1e-9 * max(float(size.max()), 1e-30)) * np.exp(-high / (2 * 0.12**2))
    peak = np.fft.irfft2(phases, s=(height, width))
    down, right = np.unravel_index(int(peak.argmax()), peak.shape)
    # A parabola through the peak's logarithm is exact for the Gaussian that the softened peak is.
    fine_down = float(down) + _parabola_peak(peak[np.arange(int(down) - 1, int(down) + 2) % height, right])
    fine_right = float(right) + _parabola_peak(peak[down, np.arange(int(right) - 1, int(right) + 2) % width])
    return (
        fine_right - width if fine_right > width / 2 else fine_right,
        fine_down - height if fine_down > height / 2 else fine_down,
    )


def _parabola_peak(around: NDArray[np.float64]) -> float:
    """How far from the middle of three values the top lies."""
    before, here, after = np.log(np.maximum(around, 1e-12 * max(float(around[1]), 1e-30)))
    bend = before - 2 * here + after
    return float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0
