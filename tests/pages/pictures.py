"""Pictures as a phone sends them."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image


def picture(name: str = "bottle.jpg", colour: tuple[int, int, int] = (120, 170, 150)) -> SimpleUploadedFile:
    """A small JPEG; another colour is another picture."""
    kept = BytesIO()
    Image.new("RGB", (64, 48), colour).save(kept, "JPEG")
    return SimpleUploadedFile(name, kept.getvalue(), content_type="image/jpeg")


def not_a_picture(name: str = "notes.jpg") -> SimpleUploadedFile:
    """A text that calls itself a picture."""
    return SimpleUploadedFile(name, b"field notes, third dive", content_type="image/jpeg")
