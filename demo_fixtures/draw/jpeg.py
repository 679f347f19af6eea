"""A drawn picture as the bytes of a JPEG file."""

from io import BytesIO

from PIL import Image


def to_jpeg(picture: Image.Image, *, quality: int = 80) -> bytes:
    """The picture as JPEG; the same picture gives the same bytes."""
    out = BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()
