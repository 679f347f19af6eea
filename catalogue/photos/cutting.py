"""Cutting bottles out of their pictures: one more size of a picture, made in the background, kept as WebP.

A cut is made of pictures of a whole piece (`Photo.WHOLE`) whose outline is sure; of all others none is. The
row says which: how large the cut is, 0 where there is none, None while nobody looked.
"""

import io

import numpy as np
from django.db.models import Exists, OuterRef
from PIL import Image

from . import files
from .decoding import in_turn
from .imaging.cut_out import cut_out
from .models import Photo

# A wine bottle's share of a phone's screen at two to three pixels a point.
CUT_PX = 400
# The outline is looked for in a picture of this longest side; the cut is hardly ever larger than in it.
SEEN_PX = 480
MOST_BYTES = 15_000
QUALITIES = (82, 70, 58, 46, 34)
MADE_FROM = "medium"
NO_CUT = (0, 0)


def make_cut(sha256: str) -> tuple[int, int]:
    """Cut the bottle out of a picture whose sizes are made; width and height of the cut, `NO_CUT` for none.

    Raises OSError and what Pillow raises where the size can't be read.
    """
    return in_turn(_write_cut, sha256)


def _write_cut(sha256: str) -> tuple[int, int]:
    with Image.open(files.size(sha256, MADE_FROM)) as image:
        made = cut_of(image)
    if made is None:
        return NO_CUT
    content, size = made
    files.keep_copy(files.cut(sha256), content)
    return size


def cut_of(image: Image.Image) -> tuple[bytes, tuple[int, int]] | None:
    """The bottle cut out of a picture as WebP bytes, and its size in pixels; None where it is not sure."""
    picture = image.convert("RGB")
    picture.thumbnail((SEEN_PX, SEEN_PX))
    pixels = cut_out(np.asarray(picture), CUT_PX)
    return None if pixels is None else as_small_webp(Image.fromarray(pixels))


def as_small_webp(cut: Image.Image) -> tuple[bytes, tuple[int, int]]:
    """WebP bytes, at most `MOST_BYTES` of them, and the size in pixels they are of."""
    while True:
        for quality in QUALITIES:
            out = io.BytesIO()
            cut.save(out, "WEBP", quality=quality, method=5)
            if out.tell() <= MOST_BYTES:
                return out.getvalue(), cut.size
        cut = cut.resize((max(1, cut.width * 4 // 5), max(1, cut.height * 4 // 5)))


def still_to_cut() -> list[tuple[str, str]]:
    """Digest and kind of the pictures of finds to look at next for a cut, the newest first.

    All of one role, the best that waits: one of a worse role is looked at only where no better one was cut.
    Only those whose sizes are made, the bin left out.
    """
    pictures = Photo.objects.filter(find__isnull=False)
    for place, role in enumerate(Photo.WHOLE):
        waiting = pictures.filter(role=role, cut_height=None, sizes_made=True)
        better = Photo.objects.filter(find=OuterRef("find"), role__in=Photo.WHOLE[:place], cut_height__gt=0)
        rows = waiting.exclude(Exists(better)).order_by("-pk").values_list("sha256", "format")
        if found := list(dict.fromkeys(rows)):
            return found
    return []
