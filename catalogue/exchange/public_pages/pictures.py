"""Pictures to carry away: small enough for a page, with nothing of the camera in them."""

import io
from collections.abc import Callable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from PIL import Image

from catalogue.photos import files
from catalogue.photos.decoding import all_begun, in_turn, shrink
from catalogue.photos.models import Photo
from catalogue.photos.renditions import ensure_size

# Longest side in pixels and most bytes (our own choice): sixteen cards, or one piece with eight more
# pictures, stay under 200 kB with all that their page asks for.
SMALL_SHOT_PX, SMALL_SHOT_BYTES = 240, 4_500
LARGE_SHOT_PX, LARGE_SHOT_BYTES = 900, 100_000
# Bounds of the larger picture, (longest side, bytes): one on a page; one that is opened by itself; two on a
# page, smaller at once, as making the larger ones coarser takes twice the time.
ALONE_BYTES = 190_000
ON_A_PAGE, ALONE = (LARGE_SHOT_PX, LARGE_SHOT_BYTES), (LARGE_SHOT_PX, ALONE_BYTES)
ONE_OF_TWO = (640, 85_000)
BEST_QUALITY, LEAST_QUALITY = 80, 38
JPEG_ENDS = b"\xff\xd9"


@dataclass(frozen=True, slots=True)
class FittedPicture:
    """A JPEG with its size in pixels."""

    jpeg: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class CarriedPicture:
    """Both sizes of one picture."""

    small: FittedPicture
    large: FittedPicture


def begin_pictures(
    photos: Sequence[Photo], light: AbstractSet[int] = frozenset()
) -> Callable[[], list[CarriedPicture | None]]:
    """Both sizes of each, from the copies that the catalogue shows; None for a file that can't be read.

    They are begun beside the thread that asks; what is returned waits for them, once. The first stands large
    in its piece's page, the others are opened by themselves; `light`: places of those of which two stand on a
    page.
    """
    copies = [_copies(photo) for photo in photos]

    def bound(place: int) -> tuple[int, int]:
        return ONE_OF_TWO if place in light else ON_A_PAGE if place == 0 else ALONE

    begun = all_begun(_both, [(*each, *bound(n)) for n, each in enumerate(copies)])

    def made() -> list[CarriedPicture | None]:
        found = list(begun)
        first = next((n for n, each in enumerate(found) if each), 0)
        if first:
            # Those before it can't be read: it stands in their place.
            found[first] = in_turn(_both, *copies[first], *min(bound(first), ON_A_PAGE))
        return found

    return made


def _copies(photo: Photo) -> tuple[bytes, bytes]:
    """The small and the medium copy; empty where they can't be made or read."""
    if not all(ensure_size(photo.sha256, photo.format, name) for name in ("small", "medium")):
        return b"", b""
    try:
        small, medium = (files.size(photo.sha256, name).read_bytes() for name in ("small", "medium"))
    except OSError:
        return b"", b""
    return small, medium


def _both(small: bytes, medium: bytes, longest: int, most_bytes: int) -> CarriedPicture | None:
    try:
        return CarriedPicture(
            fitted(small, SMALL_SHOT_PX, SMALL_SHOT_BYTES),
            fitted(medium, longest, most_bytes),
        )
    except (OSError, ValueError, SyntaxError):
        # A copy damaged on disk; Pillow raises SyntaxError for some.
        return None


def fitted(jpeg: bytes, longest: int, most_bytes: int) -> FittedPicture:
    """The picture within so many pixels and bytes: coarser first, then smaller. Raises what Pillow raises."""
    with Image.open(io.BytesIO(jpeg), formats=("JPEG",)) as image:
        if max(image.size) <= longest and len(jpeg) <= most_bytes and _is_bare(jpeg, image):
            return FittedPicture(jpeg, *image.size)
        image.load()
        picture = image.convert("RGB")
    picture.info = {}
    # What it weighs in the quality of the catalogue's copies, once it is as small as it has to be.
    share = min(1.0, longest / max(picture.size))
    quality = min(BEST_QUALITY, _quality_for(BEST_QUALITY, round(len(jpeg) * share * share), most_bytes))
    quality = max(quality, LEAST_QUALITY)
    while True:
        shrink(picture, longest)
        while quality >= LEAST_QUALITY:
            made = _baseline(picture, quality)
            if len(made) <= most_bytes:
                return FittedPicture(made, *picture.size)
            quality = min(quality - 6, _quality_for(quality, len(made), most_bytes))
        if max(picture.size) < 32:
            return FittedPicture(made, *picture.size)
        longest, quality = max(picture.size) * 3 // 4, BEST_QUALITY


def _is_bare(jpeg: bytes, image: Image.Image) -> bool:
    """Whether it ends as a whole JPEG does, and has no words beside its pixels."""
    return jpeg.rstrip(b"\0").endswith(JPEG_ENDS) and not {"exif", "comment", "xmp"} & set(image.info)


def _baseline(picture: Image.Image, quality: int) -> bytes:
    """A third of the time of a progressive one, and hardly larger."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def _quality_for(quality: int, length: int, most_bytes: int) -> int:
    """The quality at which so many bytes will do, when at `quality` it took `length`: a guess, on the safe
    side, from how libjpeg coarsens its tables (their scale is 200 - 2 q) and what grain then weighs."""
    scale = (200 - 2 * quality) * (length / most_bytes) ** 1.6
    return int((200 - scale) / 2)
