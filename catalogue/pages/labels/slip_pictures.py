"""The pictures of a slip, read by their keys: one that was deleted since is missing, and the slip stays."""

from collections.abc import Mapping

from catalogue.labels.slip_drawings import CAPTIONS, SlipPicture
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.photos.renditions import ensure_size

SIZE = "large"


def slip_pictures(keys: Mapping[str, int]) -> list[SlipPicture]:
    """Before, after, or the one there is, in this order. One query, none for no picture.

    The smaller copies are used: they note neither place nor time, as originals may.
    """
    photos = Photo.objects.in_bulk(list(keys.values())) if keys else {}
    found = []
    for name in CAPTIONS:
        photo = photos.get(keys.get(name, 0))
        if photo and ensure_size(photo.sha256, photo.format, SIZE):
            found.append(SlipPicture(name, files.size(photo.sha256, SIZE).read_bytes()))
    return found
