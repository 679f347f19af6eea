"""Pages to carry away of a catalogue of its own: python -m tests.benchmarks carried --finds 500

Every find is shown, with three grainy pictures (one with twelve), copies made already. Prints the time,
beside that of copying the same bytes, and the heaviest page with all that it asks for when it is opened.
"""

import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

# Pictures are drawn once and stand with many finds; each is made small anew for each.
DRAWN = 12


def main(finds: int = 500) -> None:
    """Fill a catalogue in a temporary folder, make its pages, and weigh them."""
    with tempfile.TemporaryDirectory() as home:
        data, target = Path(home) / "data", Path(home) / "pages"
        data.mkdir()
        os.environ["SILTMARK_DATA"] = str(data)
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        _fill(finds)
        from catalogue.pages.safekeeping.carried.make import make_pages

        began, worked = time.perf_counter(), time.process_time()
        made = make_pages(target)
        took, worked = time.perf_counter() - began, time.process_time() - worked
        began = time.perf_counter()
        shutil.copytree(target, Path(home) / "copy")
        copied = time.perf_counter() - began
        print(f"{made.pieces} pieces, {made.pictures} pictures: {took:.1f} s ({worked:.1f} s of processor)")
        print(f"{made.files} files, {made.bytes / 1e6:.1f} MB; copied in {copied:.2f} s")
        _weigh(target)


def _weigh(target: Path) -> None:
    from tests.pages.safekeeping.carried.rows import pages_of, read_back, weight

    found = read_back(target)
    weights = sorted(((weight(name, found), name) for name in pages_of(found)), reverse=True)
    for size, name in weights[:3]:
        print(f"{size / 1000:.1f} kB with all that it asks for: {name}")
    over = [name for size, name in weights if size > 200_000]
    print(f"{len(weights)} pages, {len(over)} over 200 kB")
    print(f"the search loads {len(found['pieces.js']) / 1000:.0f} kB more, once it is used")
    if over:
        sys.exit(1)


def _fill(finds: int) -> None:
    """Shown finds of the large catalogue's kind, with pictures whose small copies are made already."""
    from catalogue.photos.models import Photo
    from catalogue.photos.services import take_in
    from catalogue.specimens.models import Specimen
    from tests import factories
    from tests.benchmarks._large import fill

    factories.brackwater()
    fill(finds)
    Photo.objects.all().delete()
    Specimen.objects.update(shared=True, story="It lay in ooze below the old stairs, mouth down. " * 8)
    keys = list(Specimen.objects.order_by("pk").values_list("pk", flat=True))
    first = Specimen.objects.get(pk=keys[0])
    drawn = [take_in(_grainy(n), subject=first, role="detail") for n in range(DRAWN)]
    columns = ("sha256", "format", "bytes", "width", "height", "sizes_made")
    roles = ("after", "base", "as-found")
    rows = []
    for n, key in enumerate(keys[1:]):
        for place, role in enumerate(roles):
            like = drawn[(n + place * 5) % DRAWN]
            rows.append(Photo(find_id=key, role=role, **{name: getattr(like, name) for name in columns}))
    Photo.objects.bulk_create(rows)


def _grainy(n: int) -> object:
    import numpy as np
    from PIL import Image, ImageDraw

    from tests.photos.drawn import encoded, upload

    image = Image.new("RGB", (900, 1200), (60 + n * 5, 120, 110))
    pen = ImageDraw.Draw(image)
    pen.ellipse((250, 100, 650, 1150), fill=(90, 160 - n * 5, 140), outline=(20, 40, 40), width=8)
    grain = np.random.default_rng(n).normal(0, 14, (1200, 900, 1))
    noisy = (np.asarray(image, dtype=np.float32) + grain).clip(0, 255).astype(np.uint8)
    return upload(encoded(Image.fromarray(noisy), quality=90))


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
