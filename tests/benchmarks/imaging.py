"""How long the plates take: python -m tests.benchmarks.imaging

Each line gives the best of a few runs, by the clock and in processor seconds, the goal for the clock, and the
ratio to a floor measured beside it: another program's unrolling of the same ring, and the plain sums and
transforms that a relief needs anyway. Other work on the machine lengthens the clock's figure, not the
processor's; what the machine had to do is printed last.
"""

import os
import time
from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from catalogue.photos.imaging import find_bottles, local_contrast, raking_relief, unroll
from tests.photos.imaging.rendered import base, lit, painted, photographed, raised_letters

CLOCK = [0, 1.5, 3, 4.5, 6, 7.5, 9, 10.5]


@dataclass(frozen=True, slots=True)
class Took:
    """Seconds of the fastest run."""

    clock: float
    processor: float


def best(run: Callable[[], object], times: int = 5) -> Took:
    """The fastest of so many runs, by the clock and of the processor each."""
    clock, processor = [], []
    for _ in range(times):
        began, busy = time.perf_counter(), time.process_time()
        run()
        clock.append(time.perf_counter() - began)
        processor.append(time.process_time() - busy)
    return Took(min(clock), min(processor))


def line(name: str, took: Took, floor: Took, what: str, goal: float) -> None:
    print(
        f"{name}: {took.clock:.3f} s (goal {goal} s), processor {took.processor:.3f} s; "
        f"{what} {floor.processor:.3f} s; {took.processor / floor.processor:.1f}×"
    )


def main() -> None:
    cv2.setNumThreads(1)
    made = base(size=1200, tall=84)
    picture = painted(made)
    strip = unroll(picture, made.rim(5), inner=0.3)
    size = (round(0.7 * made.radius), strip.turn_px)
    floor = best(lambda: cv2.warpPolar(picture, size, made.middle, made.radius, cv2.WARP_POLAR_LINEAR))
    took = best(lambda: unroll(picture, made.rim(5), inner=0.3))
    line("unroll a base of 1,200 pixels", took, floor, "cv2.warpPolar", 0.1)

    made = base(size=1000, tall=70)
    rng = np.random.default_rng(0)
    height = raised_letters(made.mask, 1.5)
    shots = [np.dstack([photographed(lit(height, hour, 25), 0.01, rng)] * 3) for hour in CLOCK]
    stack = np.stack([shot[..., 0].astype(np.float32) for shot in shots])
    lamps = rng.normal(size=(3, 8)).astype(np.float32)

    def sums() -> None:
        lamps @ stack.reshape(8, -1)
        stack.std(axis=0)
        for _ in range(3):
            np.fft.rfft2(np.pad(stack[0], ((0, 1000), (0, 1000))))

    line("relief of eight pictures of 1,000 pixels", best(lambda: raking_relief(shots, CLOCK, 25), 3),
         best(sums), "its sums and transforms alone", 2)  # fmt: skip
    lift = cv2.createCLAHE(clipLimit=3.0, tileGridSize=(8, 8))
    grey = shots[0][..., 0]
    line("local contrast of 1,000 pixels", best(lambda: local_contrast(grey)),
         best(lambda: lift.apply(grey)), "cv2.createCLAHE alone", 0.2)  # fmt: skip
    wide = np.tile(picture, (1, 3, 1))
    took = best(lambda: find_bottles(wide), 3)
    floor = best(lambda: cv2.resize(wide, (720, 240), interpolation=cv2.INTER_AREA))
    line("bottles in a picture of 3,600 pixels", took, floor, "shrinking it alone", 1)
    print(f"load of the machine, one minute: {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
