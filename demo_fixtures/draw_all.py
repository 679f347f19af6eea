"""Draw the demo's pictures: `python -m demo_fixtures.draw_all`. They are kept beside, ready for use."""

import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from .draw.base import draw_base
from .draw.bottle import draw_bottle
from .draw.jpeg import to_jpeg
from .draw.shelf import draw_shelf
from .draw.site import draw_site
from .plan import BASE_PX, BOTTLE_PX, LAMP_PX, Planned, planned

FOLDER = Path(__file__).parent / "pictures"


def picture(plan: Planned) -> bytes:
    """The JPEG of one planned picture; the same plan gives the same bytes."""
    match plan.kind:
        case "after":
            image = draw_bottle(plan.what, growth=plan.growth, seed=plan.seed, size=BOTTLE_PX)
        case "before":
            image = draw_bottle(
                plan.what, growth=plan.growth, seed=plan.seed, size=BOTTLE_PX, put_down=plan.put_down
            )
        case "bench":
            image = draw_bottle(plan.what, growth=plan.growth, seed=plan.seed, size=BOTTLE_PX, ground="bench")
        case "found":
            image = draw_bottle(
                plan.what, growth=plan.growth, seed=plan.seed, size=BOTTLE_PX, ground="seabed", bed=plan.bed
            )
        case "base":
            image = draw_base(
                plan.what, size=BASE_PX, wear=plan.wear, seed=plan.seed, light_deg=plan.lamp_deg
            )
        case "lamp":
            image = draw_base(
                plan.what,
                size=LAMP_PX,
                wear=plan.wear,
                seed=plan.seed,
                light_deg=plan.lamp_deg,
                elevation_deg=24,
                matte=True,
            )
        case "site":
            image = draw_site(plan.what, plan.seed, size=(1080, 675))
        case "shelf":
            image, _ = draw_shelf(plan.what, seed=plan.seed)
        case other:
            raise ValueError(f"No way to draw a picture of kind {other!r}.")
    return to_jpeg(image, quality=80)


def _draw(plan: Planned) -> tuple[str, bytes]:
    return plan.file, picture(plan)


def main() -> int:
    """Draw every picture anew (`--missing`: only what is not there), on both cores; prints how it went."""
    begun = time.monotonic()
    FOLDER.mkdir(exist_ok=True)
    plans = list(planned())
    wanted = {plan.file for plan in plans}
    if "--missing" in sys.argv[1:]:
        plans = [plan for plan in plans if not (FOLDER / plan.file).exists()]
    total = 0
    with ProcessPoolExecutor(max_workers=2) as pool:
        for name, content in pool.map(_draw, plans, chunksize=4):
            (FOLDER / name).write_bytes(content)
            total += len(content)
    for stale in FOLDER.glob("*.jpg"):
        if stale.name not in wanted:
            stale.unlink()
    print(f"{len(plans)} pictures, {total / 1e6:.1f} MB, {time.monotonic() - begun:.0f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
