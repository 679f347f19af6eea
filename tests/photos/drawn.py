"""Picture files drawn for these tests, as bytes."""

import io
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

GPS = {1: "N", 2: (44.0, 20.0, 30.0), 3: "W", 4: (75.0, 55.0, 12.0)}


def picture(width: int = 400, height: int = 200, mode: str = "RGB", tint: int = 0) -> Image.Image:
    """Left half dark red, right half pale green, with a line across; `tint` makes it another picture."""
    image = Image.new("RGB", (width, height), (150 + tint % 100, 20, 20))
    draw = ImageDraw.Draw(image)
    draw.rectangle((width // 2, 0, width, height), fill=(180, 230 - tint % 100, 190))
    draw.line((0, 0, width, height), fill=(20, 20, 60), width=max(1, height // 40))
    return image.convert(mode)


def exif(**tags: Any) -> Image.Exif:
    """EXIF with the given blocks: `orientation`, `taken`, `offset`, `make`, `model`, `gps`."""
    block = Image.Exif()
    if "orientation" in tags:
        block[0x0112] = tags["orientation"]
    block[0x010F] = tags.get("make", "Quillon")
    block[0x0110] = tags.get("model", "Quillon Reef 2")
    detail = block.get_ifd(0x8769)
    if "taken" in tags:
        detail[0x9003] = tags["taken"]
    if "offset" in tags:
        detail[0x9011] = tags["offset"]
    if "gps" in tags:
        block.get_ifd(0x8825).update(tags["gps"])
    return block


def encoded(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def upload(content: bytes, name: str = "picture.jpg", content_type: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, content_type)


def jpeg(tint: int = 0, name: str = "picture.jpg", **size: int) -> SimpleUploadedFile:
    return upload(encoded(picture(tint=tint, **size)), name)
