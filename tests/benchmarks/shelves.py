"""How many bottles of drawn racks get their box: python -m tests.benchmarks shelves [how many racks]

Racks of one to four boards before five walls, upright or tilted by up to three degrees, with places left
empty and bottles that touch.
"""

import numpy as np

from catalogue.photos.imaging import find_bottles
from tests.photos.imaging.racks import WALLS, Rack, Tally, draw_rack, tally


def racks(count: int) -> list[Rack]:
    """So many racks, always the same."""
    out = []
    for n in range(count):
        rng = np.random.default_rng(n)
        out.append(
            Rack(
                boards=1 + n % 4,
                places=int(rng.integers(6, 11)),
                tilt_deg=float(rng.uniform(-3, 3)) if n % 3 else 0.0,
                wall=WALLS[n % len(WALLS)],
                seed=n,
                gaps=(0.2, 0.0, 0.1, 0.4)[n // 4 % 4],
                close=(0.0, 0.15, 0.4)[n % 3],
                from_above=bool(n % 2),
            )
        )
    return out


def main(count: int = 60) -> None:
    total = Tally()
    for wall in WALLS:
        counts = Tally()
        for rack in racks(count):
            if rack.wall == wall:
                picture, drawn = draw_rack(rack)
                counts += tally(find_bottles(picture), drawn)
        print(f"{wall}: {counts.found} of {counts.drawn} bottles boxed, {counts.false} boxes hold none")
        total += counts
    share = 100 * total.found / max(1, total.drawn)
    print(f"all: {total.found} of {total.drawn} ({share:.1f} %), {total.false} boxes hold none")


if __name__ == "__main__":
    main()
