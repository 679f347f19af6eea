"""Pictures that are sent only for the codes in them: read, and not kept."""

import logging
from dataclasses import dataclass

from django.conf import settings

from catalogue.photos import files
from catalogue.photos.decoding import in_turn
from catalogue.photos.image_file import PictureRefused, examine
from catalogue.photos.label_reading import read_labels

from .uploads import NOT_REACHED, UploadSource, chunks_of, too_heavy

log = logging.getLogger("siltmark.pictures")


@dataclass(frozen=True, slots=True)
class LabelsRead:
    """What every code in a picture says, each once; `sha256` tells one picture from another."""

    codes: tuple[str, ...]
    sha256: str


def codes_noted_in(source: UploadSource) -> LabelsRead:
    """Read the codes of a picture, which is not kept. Raises PictureRefused."""
    try:
        with files.arriving(chunks_of(source), max_bytes=settings.UPLOAD_MAX_BYTES) as (path, sha256, _):
            in_turn(examine, path, max_pixels=settings.PICTURE_MAX_PIXELS)
            return LabelsRead(in_turn(read_labels, path), sha256)
    except files.TooLarge:
        raise PictureRefused(too_heavy()) from None
    except OSError:
        log.exception("labels in a picture could not be read")
        raise PictureRefused(NOT_REACHED) from None
