"""Cut the demo's bottles out of their pictures: `python -m demo_fixtures.cut_all`, after `draw_all`.

By the catalogue's own code; kept beside the pictures, so that the demo's first page is whole at once.
"""

import io
import os
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor

from PIL import Image

from .draw_all import FOLDER
from .plan import Planned, planned

# The roles of which a find's best picture is looked at for a cut.
CUT_ROLES = ("after", "during")


def cut(plan: Planned) -> tuple[str, bytes | None]:
    """The name of a picture's cut, and its WebP bytes; None where its outline is not sure."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    os.environ.setdefault("SILTMARK_DATA", tempfile.gettempdir())
    import django

    django.setup()
    from catalogue.photos.cutting import MADE_FROM, cut_of
    from catalogue.photos.decoding import derive

    file = FOLDER / plan.file
    made_from = next(size.jpeg for size in derive(file) if size.name == MADE_FROM)
    with Image.open(io.BytesIO(made_from)) as image:
        made = cut_of(image)
    return file.with_suffix(".webp").name, made[0] if made else None


def main() -> int:
    """Make every cut anew, on both cores; prints how many are sure."""
    for stale in FOLDER.glob("*.webp"):
        stale.unlink()
    plans = [plan for plan in planned() if plan.role in CUT_ROLES]
    with ProcessPoolExecutor(max_workers=2) as pool:
        made = {name: content for name, content in pool.map(cut, plans) if content}
    for name, content in made.items():
        (FOLDER / name).write_bytes(content)
    print(f"{len(made)} of {len(plans)} cut, {sum(map(len, made.values())) / 1e3:.0f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
